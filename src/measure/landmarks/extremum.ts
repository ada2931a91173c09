/** Highest points of a noisy series, without the upward bias that picking the highest sample has. */

/** Share of the samples beside a top that may be missing. */
const MISSING_SHARE = 0.05;

export interface Extremum {
  /** Frame, fractional. */
  readonly at: number;
  readonly value: number;
}

/**
 * Samples that are the highest within `radius` frames on both sides. At the ends of the recording, and where
 * samples close to it are missing, a highest sample may not be the top and is left out.
 */
export function tops(values: readonly number[], radius: number): number[] {
  const found: number[] = [];
  const reach = Math.max(1, Math.round(radius));
  const near = Math.max(1, Math.round(radius / 2));
  for (let i = near; i < values.length - near; i++) {
    const here = values[i]!;
    if (!Number.isFinite(here)) continue;
    let highest = true;
    let missing = 0;
    for (let j = Math.max(0, i - reach); highest && j <= Math.min(values.length - 1, i + reach); j++) {
      const other = values[j]!;
      if (!Number.isFinite(other)) missing += Math.abs(j - i) <= near ? 1 : 0;
      else if (other > here || (other === here && j < i)) highest = false;
    }
    if (highest && missing <= MISSING_SHARE * (2 * near + 1)) found.push(i);
  }
  return found;
}

/**
 * Apex of the least-squares parabola through the samples around a top. The apex of a noisy parabola lies too high on
 * average by var(slope) / (4 |curvature|); that is taken off.
 * @param raw unsmoothed samples, so that the noise is white
 * @param noise standard deviation of one sample, such as `differenceNoise` of the series
 * @param halfWidth frames on each side; the movement should turn by no more than about 30 degrees of its own cycle there
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
