/** What was measured, film against film. */
import { mean } from 'simple-statistics';
import type { Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import { isObstacle } from './entries.ts';
import type { Film } from './film.ts';
import { blockOf, type FilmPair } from './film-pair.ts';
import { limitOf } from './limits.ts';
import { type MeasuredChange, measuredChange, measuredIn, sameFor } from './measured.ts';
import { notComparable, reason, verdictOf } from './verdict.ts';
import { eyeAgrees } from './witnesses.ts';

const valueIn = (film: Film, code: string, side: Side): number | null => {
  const values = measuredIn(film, code, side).map((e) => e.value);
  return values.length === 0 ? null : mean(values);
};

/** How the numbers were compared; null where a single value of each film states no error. */
function statisticsOf({
  repeats,
  stated,
  difference,
  used,
  unpaired,
}: MeasuredChange): Change['statistics'] | null {
  const [before, after] = used;
  const count = { before, after, withoutPartner: unpaired };
  if (repeats !== null) {
    const { method, mean: _, ...figures } = repeats;
    return { method, count, difference, ...figures };
  }
  if (stated === null) return null;
  return { method: 'stated', count, difference, low: difference - stated, high: difference + stated };
}

function compareMeasurement(code: string, side: Side, films: FilmPair): Change {
  const { before, after, ruleSet } = films;
  const { label } = ruleSet.texts.measurements[code] ?? { label: code };
  const item = {
    kind: 'measurement' as const,
    code,
    label,
    unit: ruleSet.measurements.get(code)?.unit ?? '',
    side,
    before: valueIn(before, code, side),
    after: valueIn(after, code, side),
  };
  const change = measuredChange(code, side, films);
  if (change === 'one-film-only') return notComparable(item, change, ruleSet);
  const block = blockOf(films, sameFor(code, ruleSet));
  if (block !== null) return notComparable(item, block, ruleSet);
  if (isObstacle(change)) return notComparable(item, change, ruleSet);

  const statistics = statisticsOf(change);
  const compared = {
    ...item,
    before: change.before,
    after: change.after,
    ...(statistics === null ? {} : { statistics }),
  };
  const { believable, passed, direction } = change;
  if (believable === null) return notComparable(compared, 'no-limit-known', ruleSet);
  // the size stands against the rule set's limit or the stated error, the repeats against their own scatter
  const bySize = limitOf(code, ruleSet) !== undefined || change.stated !== null;
  const repeatsConfirm = bySize && change.repeatsAgree;
  const confirmed = passed && (repeatsConfirm || eyeAgrees(code, side, direction, films));
  const why = passed ? (confirmed ? 'two-witnesses' : 'one-witness') : 'within-the-limit';
  const holdsFor = ruleSet.texts.changeLimits[code];
  return {
    ...compared,
    verdict: verdictOf(passed, confirmed, direction),
    direction: passed ? direction : 'none',
    smallestBelievable: believable,
    ...(holdsFor === undefined ? {} : { holdsFor }),
    because: reason(ruleSet, why),
  };
}

/** One change for each measurement and side of either film; pain is asked about and has a file of its own. */
export function compareMeasurements(films: FilmPair): Change[] {
  const items = new Map(
    [...films.before.record.measurements, ...films.after.record.measurements]
      .filter((m) => m.code !== 'pain')
      .map((m) => [`${m.code} ${m.side}`, m] as const),
  );
  return [...items]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([, { code, side }]) => compareMeasurement(code, side, films));
}
