/**
 * A value and its range as one bar: █ up to the low end, ▓ from there to the estimate, ░ on to the high end.
 * The estimate is where ▓ ends.
 */
export interface Range {
  readonly low: number;
  readonly at: number;
  readonly high: number;
}

export const LEGEND = '█ up to the low end   ▓ up to the estimate   ░ up to the high end';

/** @param range shares 0 to 1. */
export function bar({ low, at, high }: Range, cells: number): string {
  const cut = (share: number): number => Math.round(Math.min(1, Math.max(0, share)) * cells);
  const [a, b, c] = [cut(low), cut(at), cut(high)];
  return '█'.repeat(a) + '▓'.repeat(b - a) + '░'.repeat(c - b) + '·'.repeat(cells - c);
}
