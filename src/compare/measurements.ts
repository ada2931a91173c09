/**
 * Measured values against the smallest change to believe: the larger of the table's limit and 1.96 times the standard
 * error of the difference (1.96 * sqrt(2) * SEM for two equal films; Weir 2005, from memory). Where neither is known
 * the values are not comparable.
 */
import { mean, sampleStandardDeviation } from 'simple-statistics';
import { isClearlyGood } from '../assess/measured-grade.ts';
import { phrase } from '../assess/phrases.ts';
import type { MeasuredEntry } from '../assess/record.ts';
import type { Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import type { ReportParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';
import { type Direction, verdictOf } from './verdict.ts';

const Z95 = 1.96;

interface Sample {
  readonly value: number;
  readonly values: readonly number[];
  /** Standard error; null when it cannot be told. */
  readonly error: number | null;
}

export function sampleOf(entries: readonly MeasuredEntry[]): Sample {
  const values = entries.map((e) => e.value);
  const stated = entries.flatMap((e) => (e.standardDeviation === undefined ? [] : [e.standardDeviation]));
  const ofRepeats = values.length >= 3 ? sampleStandardDeviation(values) / Math.sqrt(values.length) : null;
  const ofStated =
    stated.length === values.length ? Math.sqrt(mean(stated.map((s) => s * s)) / stated.length) : null;
  const known = [ofRepeats, ofStated].filter((e) => e !== null);
  return { value: mean(values), values, error: known.length === 0 ? null : Math.max(...known) };
}

/** How far a value lies on the bad side of anything that it reports on: 0 is clear of all. */
function badness(code: string, value: number, ruleSet: RuleSet): number | null {
  const rules = ruleSet.parts.reports.flatMap(({ conditions, event }) => {
    const first = 'all' in conditions ? conditions.all[0] : undefined;
    const reads =
      first !== undefined && 'fact' in first && first.fact === code && event.params.kind === 'measured';
    return reads ? [event.params as Extract<ReportParams, { kind: 'measured' }>] : [];
  });
  if (rules.length === 0) return null;
  return Math.max(
    ...rules.map((p) => {
      const good = p.absentAt ?? p.slight;
      return isClearlyGood(value, p) ? 0 : Math.abs(value - good) + 1e-9;
    }),
  );
}

export function directionOf(code: string, before: number, after: number, ruleSet: RuleSet): Direction {
  const [a, b] = [badness(code, before, ruleSet), badness(code, after, ruleSet)];
  if (a === null || b === null || a === b) return 'none';
  return b < a ? 'better' : 'worse';
}

/** @returns null where neither a table limit nor an error is known. */
export function smallestBelievable(
  code: string,
  before: Sample,
  after: Sample,
  ruleSet: RuleSet,
): number | null {
  const limit = ruleSet.parts['change-limits'].find((l) => l.code === code);
  const table =
    limit === undefined
      ? null
      : Math.max(limit.units ?? 0, ((limit.percent ?? 0) / 100) * Math.abs(before.value));
  const error =
    before.error === null || after.error === null ? null : Z95 * Math.hypot(before.error, after.error);
  const known = [table, error].filter((x) => x !== null);
  return known.length === 0 ? null : Math.max(...known);
}

export const entriesOf = (film: Film, code: string, side: Side): MeasuredEntry[] =>
  film.record.measurements.filter((m) => m.code === code && m.side === side);

/** The change of one measured item, and whether it passed its limit. */
export function measuredChange(code: string, side: Side, before: Film, after: Film, ruleSet: RuleSet) {
  const [a, b] = [entriesOf(before, code, side), entriesOf(after, code, side)];
  if (a.length === 0 || b.length === 0) return null;
  const [x, y] = [sampleOf(a), sampleOf(b)];
  const believable = smallestBelievable(code, x, y, ruleSet);
  return {
    before: x,
    after: y,
    believable,
    passed: believable !== null && Math.abs(y.value - x.value) >= believable,
    direction: directionOf(code, x.value, y.value, ruleSet),
  };
}

/** Repeats that do not overlap are a second witness. */
function repeatsAgree(before: Sample, after: Sample): boolean {
  if (before.values.length < 3 || after.values.length < 3) return false;
  const up = Math.min(...after.values) > Math.max(...before.values);
  const down = Math.max(...after.values) < Math.min(...before.values);
  return up || down;
}

export function compareMeasurements(
  before: Film,
  after: Film,
  blocked: boolean,
  eyeAgrees: (code: string, side: Side, d: Direction) => boolean,
  ruleSet: RuleSet,
): Change[] {
  const keys = new Map(
    [...before.record.measurements, ...after.record.measurements].map(
      (m) => [`${m.code}|${m.side}`, m] as const,
    ),
  );
  return [...keys.values()]
    .sort((a, b) => (`${a.code}${a.side}` < `${b.code}${b.side}` ? -1 : 1))
    .map(({ code, side }): Change => {
      const label = ruleSet.texts.measurements[code]?.label ?? code;
      const base = { kind: 'measurement' as const, code, label, side };
      const found = measuredChange(code, side, before, after, ruleSet);
      const said = (reason: string) => ({ code: reason, text: phrase(ruleSet, `change-${reason}`) });
      if (found === null) {
        return {
          ...base,
          verdict: 'not-comparable',
          direction: 'none',
          before: valueIn(before, code, side),
          after: valueIn(after, code, side),
          smallestBelievable: null,
          because: said('one-film-only'),
        };
      }
      const { believable, passed, direction } = found;
      const values = { before: found.before.value, after: found.after.value, smallestBelievable: believable };
      const samePace = ruleSet.parts['change-limits'].find((l) => l.code === code)?.samePace ?? true;
      if (blocked && samePace)
        return { ...base, ...values, verdict: 'not-comparable', direction, because: said('other-pace') };
      if (believable === null)
        return { ...base, ...values, verdict: 'not-comparable', direction, because: said('no-limit-known') };
      // any rise of pain counts at once
      if (code === 'pain' && found.after.value > found.before.value)
        return { ...base, ...values, verdict: 'worse', direction: 'worse', because: said('pain-rose') };
      const confirmed = repeatsAgree(found.before, found.after) || eyeAgrees(code, side, direction);
      const verdict = verdictOf(passed, confirmed, direction);
      return {
        ...base,
        ...values,
        verdict,
        direction: passed ? direction : 'none',
        because: said(passed ? (confirmed ? 'two-witnesses' : 'one-witness') : 'within-the-limit'),
      };
    });
}

function valueIn(film: Film, code: string, side: Side): number | null {
  const entries = entriesOf(film, code, side);
  return entries.length === 0 ? null : sampleOf(entries).value;
}
