/** Reading a series: between its frames, without its gaps. */
import { mean } from 'simple-statistics';

/** The values that are there. */
export const finite = (values: readonly number[]): number[] => values.filter(Number.isFinite);
/** Item by item. */
export const subtract = (a: readonly number[], b: readonly number[]): number[] => a.map((v, i) => v - b[i]!);
/** Size of the mean; 0 for none, so that it can scale an error. */
export const meanSize = (values: readonly number[]): number =>
  values.length === 0 ? 0 : Math.abs(mean([...values]));

/** Through the two middle samples with the slopes of their neighbours (Catmull and Rom 1974). */
function cubic(before: number, a: number, b: number, after: number, t: number): number {
  const [first, second] = [(b - before) / 2, (after - a) / 2];
  return (
    a + t * first + t * t * (3 * (b - a) - 2 * first - second) + t * t * t * (2 * (a - b) + first + second)
  );
}

/**
 * @param at frame number, may be fractional; up to half a frame beyond the last finite sample is read by a straight line
 * @returns the value there; NaN inside a gap
 */
export function valueAt(values: readonly number[], at: number): number {
  const low = Math.floor(at);
  const share = at - low;
  const [a, b] = [values[low] ?? Number.NaN, values[low + 1] ?? Number.NaN];
  if (share === 0) return a;
  if (Number.isFinite(a) && Number.isFinite(b)) {
    const [before, after] = [values[low - 1] ?? Number.NaN, values[low + 2] ?? Number.NaN];
    if (!Number.isFinite(before) || !Number.isFinite(after)) return a + share * (b - a);
    return cubic(before, a, b, after, share);
  }
  if (Number.isFinite(a) && share <= 0.5) return a + share * (a - (values[low - 1] ?? Number.NaN));
  if (Number.isFinite(b) && share >= 0.5) return b + (1 - share) * (b - (values[low + 2] ?? Number.NaN));
  return Number.NaN;
}

/** @returns fractional frames at which the series passes the level upward (+1) or downward (-1); never across a gap */
export function crossings(values: readonly number[], level: number, direction: 1 | -1): number[] {
  const found: number[] = [];
  for (let i = 1; i < values.length; i++) {
    const before = (values[i - 1]! - level) * direction;
    const after = (values[i]! - level) * direction;
    if (before < 0 && after >= 0) found.push(i - 1 + before / (before - after));
  }
  return found;
}
