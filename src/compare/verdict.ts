/** Two witnesses make a clear change; one makes a possible one. The same holds in the wrong direction. */
import { phrase } from '../assess/phrases.ts';
import type { Because } from '../contract/common.ts';
import type { Change, Verdict } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

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

/** Something changed the way it should, clearly or possibly. */
export const gotBetter = ({ verdict, direction }: Pick<Change, 'verdict' | 'direction'>): boolean =>
  direction === 'better' && (verdict === 'clear-change' || verdict === 'possible-change');

/** Reason of a verdict in words. */
export const reason = (ruleSet: RuleSet, code: string): Because => ({
  code,
  text: phrase(ruleSet, `change-${code}`),
});

type Item = Omit<Change, 'verdict' | 'direction' | 'smallestBelievable' | 'because'>;

export function notComparable(item: Item, code: string, ruleSet: RuleSet): Change {
  return {
    ...item,
    verdict: 'not-comparable',
    direction: 'none',
    smallestBelievable: null,
    because: reason(ruleSet, code),
  };
}
