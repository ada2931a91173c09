/** Natural cubic splines through knots, for movements that pass through given poses smoothly. */

/** Several curves over one set of knots. */
export type Curves = (t: number) => number[];

/** Second derivatives at the knots by the tridiagonal system, zero at both ends. */
function curvatures(times: readonly number[], values: readonly number[]): number[] {
  const n = times.length;
  const h = times.slice(1).map((t, i) => t - times[i]!);
  const slope = h.map((w, i) => (values[i + 1]! - values[i]!) / w);
  const second = Array.from({ length: n }, () => 0);
  const upper = Array.from({ length: n }, () => 0);
  const right = Array.from({ length: n }, () => 0);
  for (let i = 1; i < n - 1; i++) {
    const pivot = 2 * (h[i - 1]! + h[i]!) - h[i - 1]! * upper[i - 1]!;
    upper[i] = h[i]! / pivot;
    right[i] = (6 * (slope[i]! - slope[i - 1]!) - h[i - 1]! * right[i - 1]!) / pivot;
  }
  for (let i = n - 2; i > 0; i--) second[i] = right[i]! - upper[i]! * second[i + 1]!;
  return second;
}

/**
 * @param times of the knots, rising
 * @param series one list of values at the knots per curve
 */
export function splines(times: readonly number[], series: readonly (readonly number[])[]): Curves {
  const bends = series.map((values) => curvatures(times, values));
  return (t) => {
    let [low, high] = [0, times.length - 1];
    while (high - low > 1) {
      const between = (low + high) >> 1;
      if (times[between]! > t) high = between;
      else low = between;
    }
    const w = times[high]! - times[low]!;
    const [a, b] = [(times[high]! - t) / w, (t - times[low]!) / w];
    const [ca, cb] = [((a ** 3 - a) * w * w) / 6, ((b ** 3 - b) * w * w) / 6];
    return series.map((v, k) => a * v[low]! + b * v[high]! + ca * bends[k]![low]! + cb * bends[k]![high]!);
  };
}
