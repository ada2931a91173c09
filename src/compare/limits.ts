/**
 * The smallest change of a measured value to believe: the largest of the rule set's limit, 1.96 times the standard error
 * of the difference from the stated deviations (1.96 * sqrt(2) * SEM for two equal films; Weir 2005, from memory) and the
 * half width of the interval that the repeats give. Where none is known, nobody can say.
 */
import { mean } from 'simple-statistics';
import type { MeasuredEntry } from '../assess/record.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Shared } from './entries.ts';
import { type Difference, pairedDifference, unpairedDifference, Z95 } from './statistics.ts';

export const limitOf = (code: string, ruleSet: RuleSet) =>
  ruleSet.parts['change-limits'].find((l) => l.code === code);

/** Standard error of the mean from stated deviations; null when an entry does not state one. */
function statedError(entries: readonly MeasuredEntry[]): number | null {
  const stated = entries.flatMap((e) => (e.standardDeviation === undefined ? [] : [e.standardDeviation]));
  if (stated.length < entries.length) return null;
  return Math.sqrt(mean(stated.map((s) => s * s)) / stated.length);
}

/** Repeats belong together where they carry the same clip in both films, once in each. */
function pairsOf({ before, after }: Shared<MeasuredEntry>): [MeasuredEntry, MeasuredEntry][] {
  const once = (entries: readonly MeasuredEntry[], clip: string): MeasuredEntry | undefined => {
    const found = entries.filter((e) => e.clip === clip);
    return found.length === 1 ? found[0] : undefined;
  };
  return before.flatMap((a): [MeasuredEntry, MeasuredEntry][] => {
    const b = a.clip === undefined ? undefined : once(after, a.clip);
    return b === undefined || once(before, a.clip as string) !== a ? [] : [[a, b]];
  });
}

export interface Compared {
  readonly before: number;
  readonly after: number;
  readonly difference: number;
  /** What the repeats say; null when there are too few. */
  readonly repeats: Difference | null;
  /** Half width of the 95 % interval from stated deviations; null when not stated. */
  readonly stated: number | null;
  /** How many values of each film were used, and how many were left out because they have no partner. */
  readonly used: readonly [number, number];
  readonly unpaired: number;
}

/** Mean against mean, over those repeats that belong together where there are enough of them. */
export function compareValues(shared: Shared<MeasuredEntry>, ruleSet: RuleSet): Compared {
  const { fewestRepeats } = ruleSet.parts.constants.change;
  const pairs = pairsOf(shared);
  const paired = pairs.length >= fewestRepeats;
  const before = paired ? pairs.map(([a]) => a) : shared.before;
  const after = paired ? pairs.map(([, b]) => b) : shared.after;
  const [x, y] = [before.map((e) => e.value), after.map((e) => e.value)];
  const enough = x.length >= fewestRepeats && y.length >= fewestRepeats;
  const errors = [statedError(before), statedError(after)] as const;
  return {
    before: mean(x),
    after: mean(y),
    difference: mean(y) - mean(x),
    repeats: paired
      ? pairedDifference(pairs.map(([a, b]) => [a.value, b.value]))
      : enough
        ? unpairedDifference(x, y)
        : null,
    stated: errors[0] === null || errors[1] === null ? null : Z95 * Math.hypot(errors[0], errors[1]),
    used: [x.length, y.length],
    unpaired: paired ? shared.before.length + shared.after.length - 2 * pairs.length : 0,
  };
}

/** The limit of the rule set in the unit of the measurement, or null. */
function tableLimit(code: string, before: number, ruleSet: RuleSet): number | null {
  const limit = limitOf(code, ruleSet);
  if (limit === undefined) return null;
  return Math.max(limit.units ?? 0, ((limit.percent ?? 0) / 100) * Math.abs(before));
}

/** @returns null where neither a limit nor an error is known. */
export function smallestBelievable(code: string, compared: Compared, ruleSet: RuleSet): number | null {
  const { repeats, stated, before } = compared;
  const ofRepeats = repeats === null ? null : repeats.high - repeats.mean;
  const known = [tableLimit(code, before, ruleSet), stated, ofRepeats].filter((x) => x !== null);
  return known.length === 0 ? null : Math.max(...known);
}

/** Has a change reached its limit? A change of exactly the limit has, whatever the last bit says. */
export function reaches(difference: number, limit: number): boolean {
  const size = Math.abs(difference);
  return size > 1e-9 && size >= limit - 1e-9 * Math.max(1, limit);
}
