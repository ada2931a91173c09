/** Highest points of a noisy series, without the upward bias that picking the highest sample has. */

/** Share of the samples beside a top that may be missing (judgement). */
const MISSING_SHARE = 0.05;

/** A highest point, in the unit of its series. */
export interface Extremum {
  /** Frame, fractional. */
  readonly at: number;
  readonly value: number;
}

/**
 * Highest finite value among the `reach` samples before each sample, -Infinity where there is none. Candidates wait in a
 * falling queue, so the time grows with the number of samples and not with the reach.
 */
function highestBefore(values: readonly number[], reach: number): number[] {
  const queue: number[] = [];
  let first = 0;
  return values.map((value, i) => {
    if (first < queue.length && queue[first]! < i - reach) first++;
    const highest = first < queue.length ? values[queue[first]!]! : Number.NEGATIVE_INFINITY;
    if (Number.isFinite(value)) {
      while (queue.length > first && values[queue.at(-1)!]! <= value) queue.pop();
      queue.push(i);
    }
    return highest;
  });
}

/** How many samples are missing before each sample. */
function missingBefore(values: readonly number[]): number[] {
  const counts = [0];
  for (const value of values) counts.push(counts.at(-1)! + (Number.isFinite(value) ? 0 : 1));
  return counts;
}

/**
 * Samples that are the highest within `radius` frames on both sides; of equal ones the first. Within half the radius of the
 * ends of the recording, and where samples close to it are missing, a highest sample may not be the top and is left out.
 * @param radius in frames
 * @returns frame numbers, rising
 */
export function tops(values: readonly number[], radius: number): number[] {
  const reach = Math.max(1, Math.round(radius));
  const near = Math.max(1, Math.round(radius / 2));
  const before = highestBefore(values, reach);
  const after = highestBefore(values.toReversed(), reach).reverse();
  const missing = missingBefore(values);
  const found: number[] = [];
  for (let i = near; i < values.length - near; i++) {
    const here = values[i]!;
    if (!(here > before[i]! && here >= after[i]!)) continue;
    if (missing[i + near + 1]! - missing[i - near]! <= MISSING_SHARE * (2 * near + 1)) found.push(i);
  }
  return found;
}

/**
 * Apex of the least-squares parabola through the samples around a top. The apex of a noisy parabola lies too high on
 * average by var(slope) / (4 |curvature|); that is taken off.
 * @param raw unsmoothed samples, so that the noise is white
 * @param noise standard deviation of one sample, such as `differenceNoise` of the series
 * @param halfWidth frames on each side; at most an eighth of the movement's own cycle: over 45 degrees on each side of the top
 *   of a cosine the parabola's apex is 0.14 % too high
 * @returns the apex, or the sample itself when fewer than five samples are there or they are not curved downward
 */
export function apex(raw: readonly number[], noise: number, top: number, halfWidth: number): Extremum {
  const reach = Math.max(2, Math.round(halfWidth));
  const xs: number[] = [];
  const ys: number[] = [];
  for (let i = top - reach; i <= top + reach; i++) {
    const y = raw[i];
    if (y === undefined || !Number.isFinite(y)) continue;
    xs.push(i - top);
    ys.push(y);
  }
  const fit = xs.length >= 5 ? parabola(xs, ys) : undefined;
  if (!fit || fit.curve >= 0) return { at: top, value: raw[top]! };
  const shift = Math.max(-reach, Math.min(reach, -fit.slope / (2 * fit.curve)));
  const bias = Math.min((fit.slopeShare * noise * noise) / (-4 * fit.curve), noise);
  return { at: top + shift, value: fit.level + fit.slope * shift + fit.curve * shift * shift - bias };
}

interface Parabola {
  readonly level: number;
  readonly slope: number;
  readonly curve: number;
  /** Variance of the slope over the variance of a sample. */
  readonly slopeShare: number;
}

/** Least squares of y = level + slope x + curve x^2 by the normal equations; x is small and near 0. */
function parabola(xs: readonly number[], ys: readonly number[]): Parabola | undefined {
  const power = (p: number): number => xs.reduce((sum, x) => sum + x ** p, 0);
  const moment = (p: number): number => xs.reduce((sum, x, i) => sum + x ** p * ys[i]!, 0);
  const [s0, s1, s2, s3, s4] = [power(0), power(1), power(2), power(3), power(4)];
  const [t0, t1, t2] = [moment(0), moment(1), moment(2)];
  const det = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s2 * s3) + s2 * (s1 * s3 - s2 * s2);
  if (det === 0) return undefined;
  const level = (t0 * (s2 * s4 - s3 * s3) - s1 * (t1 * s4 - t2 * s3) + s2 * (t1 * s3 - t2 * s2)) / det;
  const slope = (s0 * (t1 * s4 - t2 * s3) - t0 * (s1 * s4 - s2 * s3) + s2 * (s1 * t2 - s2 * t1)) / det;
  const curve = (s0 * (s2 * t2 - s3 * t1) - s1 * (s1 * t2 - s2 * t1) + t0 * (s1 * s3 - s2 * s2)) / det;
  return { level, slope, curve, slopeShare: (s0 * s4 - s2 * s2) / det };
}
