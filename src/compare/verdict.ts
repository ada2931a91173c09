/** Two witnesses make a clear change; one makes a possible one. The same holds in the wrong direction. */
import type { Change, Verdict } from '../contract/comparison.ts';

export type Direction = Change['direction'];

/** @param direction of the change that passed its limit; `none` where neither direction is better by itself. */
export function verdictOf(passed: boolean, confirmed: boolean, direction: Direction): Verdict {
  if (!passed) return 'no-change-seen';
  if (!confirmed || direction === 'none') return 'possible-change';
  return direction === 'better' ? 'clear-change' : 'worse';
}

/** Less of it is better. */
export function lessIsBetter(before: number, after: number): Direction {
  return after < before ? 'better' : after > before ? 'worse' : 'none';
}

export const opposite = (direction: Direction): Direction =>
  direction === 'better' ? 'worse' : direction === 'worse' ? 'better' : 'none';
