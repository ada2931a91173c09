/**
 * How bad a measured value is, as shares of five bands. A value without a standard deviation counts as exact and lies in
 * one band; with one, each band gets the chance that the true value lies in it (normal around the value). So a value near
 * a threshold weighs little either way, and a small shift of it shifts the weight a little instead of flipping it.
 */
import { errorFunction } from 'simple-statistics';
import type { ReportParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { severityCapDb } from './report-weights.ts';

export type MeasuredParams = Extract<ReportParams, { kind: 'measured' }>;

/** From clearly good to marked. */
export const BANDS = ['clear', 'near', 'slight', 'moderate', 'marked'] as const;
export type Band = (typeof BANDS)[number];
/** In the order of {@link BANDS}; they add up to 1. */
export type BandShares = readonly [number, number, number, number, number];

/** Chance that a normal variable lies below `z` standard deviations. */
export function normalShareBelow(z: number): number {
  return (1 + errorFunction(z / Math.SQRT2)) / 2;
}

/** Lower ends of the bands above the first, as they rise with the fault; `sign` turns the value the same way. */
function ladderOf(p: MeasuredParams): { sign: 1 | -1; limits: readonly [number, number, number, number] } {
  const sign = p.direction === 'at-least' ? 1 : -1;
  const [slight, moderate, marked] = [sign * p.slight, sign * p.moderate, sign * p.marked];
  // one grade clear of "slight", where the rule does not say from where on a value is clearly good
  const good = p.absentAt === undefined ? slight - Math.abs(moderate - slight) : sign * p.absentAt;
  return { sign, limits: [good, slight, moderate, marked] };
}

/**
 * @param value in the unit of the thresholds
 * @param standardDeviation same unit; undefined or 0: the value counts as exact
 */
export function bandShares(
  value: number,
  standardDeviation: number | undefined,
  p: MeasuredParams,
): BandShares {
  const { sign, limits } = ladderOf(p);
  const badness = sign * value;
  const below = limits.map((limit, k) => {
    if (standardDeviation) return normalShareBelow((limit - badness) / standardDeviation);
    // exactly on a limit: a good value is good up to its own, the fault is there from its threshold on
    return badness < limit || (k === 0 && badness === limit && limit < limits[1]) ? 1 : 0;
  });
  const [good = 0, slight = 0, moderate = 0, marked = 0] = below;
  return [good, slight - good, moderate - slight, marked - moderate, 1 - marked];
}

/** How far a value is from the clearly good side, in its unit; 0 on that side. */
export function shortOfGood(value: number, p: MeasuredParams): number {
  const { sign, limits } = ladderOf(p);
  return Math.max(0, sign * value - limits[0]);
}

/** One band of a measured value: how likely it is, and what it would count if it were certain. */
export interface WeighedBand {
  readonly band: Band;
  readonly share: number;
  /** Positive speaks for the fault. */
  readonly db: number;
}

/**
 * The bands with what each would count. The weight of the value is the sum of share times weight.
 *
 * @param certaintyDb the most that a report of this certainty counts
 */
export function weighBands(shares: BandShares, certaintyDb: number, ruleSet: RuleSet): WeighedBand[] {
  const ifFault = (severity: number): number => Math.min(certaintyDb, severityCapDb(severity, ruleSet));
  const weights = [
    -certaintyDb,
    -Math.min(certaintyDb, ruleSet.parts.constants.reports.nearSideDb),
    ifFault(1),
    ifFault(2),
    ifFault(3),
  ];
  return BANDS.map((band, k) => ({ band, share: shares[k] as number, db: weights[k] as number })).filter(
    ({ share }) => share > 0,
  );
}
