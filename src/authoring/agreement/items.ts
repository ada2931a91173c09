/** Ratings sorted into items: one thing to judge (an observation on one side of one swim) and who said what of it. */
import type { Rating } from '../../contract/agreement.ts';
import type { Side } from '../../contract/common.ts';

export interface Item {
  readonly swim: string;
  readonly side: Side;
  /** Severity by observer. */
  readonly by: ReadonlyMap<string, number>;
}

const order = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** `both` is one rating of each arm; no side is the whole body. */
export function sidesOf({ side }: Rating): readonly Side[] {
  return side === 'both' ? ['left', 'right'] : [side ?? 'body'];
}

/** @returns items by observation code, codes and items sorted, so that the order of the ratings changes nothing */
export function itemsOf(ratings: readonly Rating[]): ReadonlyMap<string, readonly Item[]> {
  const codes = [...new Set(ratings.map((r) => r.code))].sort(order);
  return new Map(
    codes.map((code) => {
      const items = new Map<string, { swim: string; side: Side; by: Map<string, number> }>();
      for (const rating of ratings.filter((r) => r.code === code)) {
        for (const side of sidesOf(rating)) {
          const key = JSON.stringify([rating.swim, side]);
          const item = items.get(key) ?? { swim: rating.swim, side, by: new Map() };
          item.by.set(rating.observer, rating.severity);
          items.set(key, item);
        }
      }
      return [code, [...items.entries()].sort(([a], [b]) => order(a, b)).map(([, item]) => item)];
    }),
  );
}

/** Observers of these items, sorted. */
export const observersOf = (items: readonly Item[]): string[] =>
  [...new Set(items.flatMap((i) => [...i.by.keys()]))].sort(order);

/** Items of each swim, swims in order. */
export const bySwim = (items: readonly Item[]): Item[][] => [...Map.groupBy(items, (i) => i.swim).values()];
