/** From the values of the cycles to a mean with a standard deviation. */
import { mean, sum } from 'simple-statistics';
import type { Reading } from './quantity.ts';

/** The typical spread counts like one cycle more: a few cycles may agree by chance (judgement). */
const TYPICAL_WEIGHT = 1;
/** With fewer degrees of freedom than this, the typical spread fills them up (judgement). */
const ENOUGH_FREEDOM = 4;

/** A measured value with its error, in the unit of its code. */
export interface Estimate {
  readonly value: number;
  readonly standardDeviation: number;
  /** Standard deviation from cycle to cycle, with the typical one weighed in. */
  readonly perCycleSd: number;
}

/**
 * How much wider than the normal one an interval of one standard deviation is when the standard deviation itself comes
 * from `freedom` degrees of freedom: the t quantile at 0.841 over the normal one, which is 1 (expansion of Fisher and
 * Cornish 1960 at z = 1).
 */
export function smallSampleFactor(freedom: number): number {
  return 1 + 1 / (2 * freedom) + 1 / (4 * freedom ** 2);
}

/**
 * The spread from cycle to cycle holds digitising noise, frame quantisation and the swimmer's own variation together; it
 * is pooled over both sides, mixed with the typical spread (the more, the fewer cycles were seen), and divided by the number of
 * cycles. What is the same in
 * every cycle is added and does not shrink.
 * @param readings of one code, all sides, each with at least one value
 * @returns one estimate per reading, in its unit
 */
export function estimates(readings: readonly Reading[], typicalSd: number): Estimate[] {
  const squares = readings.map(({ values }) => {
    const middle = mean([...values]);
    return sum(values.map((v) => (v - middle) ** 2));
  });
  const seen = sum(readings.map(({ values }) => values.length - 1));
  const lent = Math.max(TYPICAL_WEIGHT, ENOUGH_FREEDOM - seen);
  const freedom = lent + seen;
  const variance = (lent * typicalSd ** 2 + sum(squares)) / freedom;
  return readings.map(({ values, systematic, varianceFactor = 1 }) => {
    const random = smallSampleFactor(freedom) * Math.sqrt((varianceFactor * variance) / values.length);
    return {
      value: mean([...values]),
      standardDeviation: Math.hypot(random, systematic),
      perCycleSd: Math.sqrt(variance),
    };
  });
}
