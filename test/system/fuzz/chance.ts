/** Chance that can be repeated: the same seed gives the same requests. */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

export interface Chance {
  /** A whole number from 0 to below `n`. */
  below(n: number): number;
  pick<T>(list: readonly T[]): T;
  /** True this often. */
  often(share: number): boolean;
}

export function chanceOf(seed: number): Chance {
  const generator = xoroshiro128plus(seed);
  const below = (n: number): number => uniformInt(generator, 0, n - 1);
  return {
    below,
    pick: <T>(list: readonly T[]): T => list[below(list.length)] as T,
    often: (share) => below(1_000_000) < share * 1_000_000,
  };
}
