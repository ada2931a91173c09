/** Natural cubic spline through knots, for movements that pass through given poses smoothly. */
export type Curve = (t: number) => number;

export function spline(times: readonly number[], values: readonly number[]): Curve {
  const n = times.length;
  const h = times.slice(1).map((t, i) => t - times[i]!);
  const slope = h.map((w, i) => (values[i + 1]! - values[i]!) / w);
  // second derivatives by the tridiagonal system, zero at both ends
  const second = Array.from({ length: n }, () => 0);
  const upper = Array.from({ length: n }, () => 0);
  const right = Array.from({ length: n }, () => 0);
  for (let i = 1; i < n - 1; i++) {
    const pivot = 2 * (h[i - 1]! + h[i]!) - h[i - 1]! * upper[i - 1]!;
    upper[i] = h[i]! / pivot;
    right[i] = (6 * (slope[i]! - slope[i - 1]!) - h[i - 1]! * right[i - 1]!) / pivot;
  }
  for (let i = n - 2; i > 0; i--) second[i] = right[i]! - upper[i]! * second[i + 1]!;
  return (t) => {
    let [low, high] = [0, n - 1];
    while (high - low > 1) {
      const between = (low + high) >> 1;
      if (times[between]! > t) high = between;
      else low = between;
    }
    const w = h[low]!;
    const [a, b] = [(times[high]! - t) / w, (t - times[low]!) / w];
    return (
      a * values[low]! +
      b * values[high]! +
      (((a ** 3 - a) * second[low]! + (b ** 3 - b) * second[high]!) * w * w) / 6
    );
  };
}
