/**
 * Differences of repeated measurements with their 95 % intervals: pair by pair where repeats belong together, else
 * between two independent groups. Small samples need Student's t: with three repeats 1.96 would claim far too much.
 */
import { mean, sampleStandardDeviation, sampleVariance } from 'simple-statistics';

/** A change with its 95 % interval, all in the unit of the measurement. */
export interface Difference {
  readonly method: 'paired' | 'unpaired';
  /** After minus before. */
  readonly mean: number;
  readonly standardError: number;
  readonly freedom: number;
  readonly low: number;
  readonly high: number;
}

export interface PairedDifference extends Difference {
  readonly method: 'paired';
  readonly pairs: number;
  readonly standardDeviation: number;
  /** Error of one reading: SD of the differences / sqrt 2 (Hopkins 2000, from memory). */
  readonly typicalError: number;
  /** Where a single pair may lie: mean -+ 1.96 SD (Bland and Altman 1986). */
  readonly agreement: { readonly low: number; readonly high: number };
}

/** Two-sided 95 % of a normal distribution. */
export const Z95 = 1.96;

/**
 * Chance that Student's t lies within -t to t: the finite series for whole degrees of freedom (Abramowitz and Stegun,
 * Handbook of Mathematical Functions, 26.7.3 and 26.7.4).
 */
export function shareWithin(t: number, freedom: number): number {
  const angle = Math.atan(t / Math.sqrt(freedom));
  const cos2 = Math.cos(angle) ** 2;
  const odd = freedom % 2 === 1;
  let term = odd ? Math.cos(angle) : 1;
  let sum = freedom === 1 ? 0 : term;
  for (let k = odd ? 3 : 2; k <= freedom - 2; k += 2) {
    term *= ((k - 1) / k) * cos2;
    sum += term;
  }
  const series = Math.sin(angle) * sum;
  return odd ? (2 / Math.PI) * (angle + series) : series;
}

/** The t that holds 95 % of the distribution between -t and t. @param freedom a whole number, 1 or more. */
export function t95(freedom: number): number {
  let [low, high] = [Z95 - 0.01, 12.8];
  while (high - low > 1e-12) {
    const middle = (low + high) / 2;
    if (shareWithin(middle, freedom) < 0.95) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function interval(difference: number, standardError: number, freedom: number) {
  const half = t95(freedom) * standardError;
  return { mean: difference, standardError, freedom, low: difference - half, high: difference + half };
}

/** @param pairs before and after of each repeat; two or more. */
export function pairedDifference(pairs: readonly (readonly [number, number])[]): PairedDifference {
  const steps = pairs.map(([before, after]) => after - before);
  const [middle, deviation] = [mean(steps), sampleStandardDeviation(steps)];
  const reach = Z95 * deviation;
  return {
    method: 'paired',
    ...interval(middle, deviation / Math.sqrt(steps.length), steps.length - 1),
    pairs: steps.length,
    standardDeviation: deviation,
    typicalError: deviation / Math.SQRT2,
    agreement: { low: middle - reach, high: middle + reach },
  };
}

/** Two groups that need not scatter alike (Welch 1947); the degrees of freedom are rounded down, the safe way. */
export function unpairedDifference(before: readonly number[], after: readonly number[]): Difference {
  const part = (values: readonly number[]): number => sampleVariance([...values]) / values.length;
  const [a, b] = [part(before), part(after)];
  const exact = (a + b) ** 2 / (a ** 2 / (before.length - 1) + b ** 2 / (after.length - 1));
  const least = Math.min(before.length, after.length) - 1;
  const freedom = Number.isFinite(exact) ? Math.max(least, Math.floor(exact + 1e-9)) : least;
  return {
    method: 'unpaired',
    ...interval(mean([...after]) - mean([...before]), Math.sqrt(a + b), freedom),
  };
}
