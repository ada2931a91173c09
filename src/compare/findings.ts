/** What was seen, film against film. */
import { keyOf } from '../assess/findings.ts';
import { labelOfFinding } from '../assess/phrases.ts';
import { isAsked, isTested } from '../assess/report-weights.ts';
import type { Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import { isObstacle } from './entries.ts';
import type { Film } from './film.ts';
import { blockOf, type FilmPair } from './film-pair.ts';
import { seenChange, seenIn, severityOf } from './looks.ts';
import { notComparable, reason, verdictOf } from './verdict.ts';
import { numberAgrees } from './witnesses.ts';

const severityIn = (film: Film, code: string, side: Side): number | null => {
  const entries = seenIn(film, code, side);
  return entries.length === 0 ? null : severityOf(entries);
};

function compareFinding(code: string, side: Side, films: FilmPair): Change {
  const { before, after, ruleSet } = films;
  const item = {
    kind: 'finding' as const,
    code,
    label: labelOfFinding(ruleSet, code),
    side,
    before: severityIn(before, code, side),
    after: severityIn(after, code, side),
  };
  const change = seenChange(code, side, films);
  if (change === 'one-film-only') return notComparable(item, change, ruleSet);
  const filmed = !isAsked(ruleSet, code) && !isTested(ruleSet, code);
  const block = blockOf(films, filmed ? 'pace' : 'nothing');
  if (block !== null) return notComparable(item, block, ruleSet);
  if (isObstacle(change)) return notComparable(item, change, ruleSet);

  const { passed, direction } = change;
  const confirmed = passed && (change.views >= 2 || numberAgrees(code, side, direction, films));
  const why = passed
    ? confirmed
      ? 'two-witnesses'
      : 'one-witness'
    : change.disagree
      ? 'views-disagree'
      : 'within-the-limit';
  return {
    ...item,
    verdict: verdictOf(passed, confirmed, direction),
    direction,
    before: change.before,
    after: change.after,
    smallestBelievable: change.needed,
    because: reason(ruleSet, why),
  };
}

/** One change for each observation and side of either film; what was looked for and never there is no news. */
export function compareFindings(films: FilmPair): Change[] {
  const entries = [...films.before.record.observations, ...films.after.record.observations];
  const items = new Map(
    entries.filter((o) => o.severity > 0).map((o) => [keyOf(o.code, o.side), o] as const),
  );
  return [...items]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([, { code, side }]) => compareFinding(code, side, films));
}
