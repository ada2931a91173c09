/**
 * The best grouping of a small squad, by dynamic programming over subsets: the best grouping of a set is the best group
 * of its first swimmer and the best grouping of the rest. 3^n / 2 steps for each number of groups.
 */
import { emptyTally, type Field, meritOf, put } from './points.ts';
import { groupCounts, type Sizes } from './sizes.ts';

/** Up to this many swimmers every grouping is covered: 265 720 steps for each number of groups. */
export const EXACT_UP_TO = 12;

function bitsOf(mask: number): number[] {
  const bits: number[] = [];
  for (let i = 0; mask >> i > 0; i++) if ((mask >> i) & 1) bits.push(i);
  return bits;
}

/** Worth of every possible group; -Infinity where its size is not allowed. */
function meritsOf(field: Field, { min, max }: Sizes): Float64Array {
  const merits = new Float64Array(1 << field.swimmers.length).fill(Number.NEGATIVE_INFINITY);
  for (let mask = 1; mask < merits.length; mask++) {
    const members = bitsOf(mask);
    if (members.length < min || members.length > max) continue;
    const tally = emptyTally(field);
    for (const i of members) put(tally, i, field);
    merits[mask] = meritOf(tally, field);
  }
  return merits;
}

/** @returns groups of indices with the largest sum of merits. */
export function groupExactly(field: Field, lanes: number, sizes: Sizes): number[][] {
  const n = field.swimmers.length;
  const all = (1 << n) - 1;
  const merits = meritsOf(field, sizes);
  const counts = groupCounts(n, lanes, sizes);
  const most = Math.max(...counts);

  let best = new Float64Array(all + 1).fill(Number.NEGATIVE_INFINITY);
  best[0] = 0;
  const chosen: Int32Array[] = [];
  let answer = { merit: Number.NEGATIVE_INFINITY, groups: 0 };
  for (let k = 1; k <= most; k++) {
    const next = new Float64Array(all + 1).fill(Number.NEGATIVE_INFINITY);
    const group = new Int32Array(all + 1);
    for (let mask = 1; mask <= all; mask++) {
      const first = mask & -mask;
      const others = mask ^ first;
      for (let part = others; ; part = (part - 1) & others) {
        const merit = (merits[first | part] as number) + (best[others ^ part] as number);
        if (merit > (next[mask] as number) + 1e-9 || (next[mask] === -Infinity && merit > -Infinity)) {
          next[mask] = merit;
          group[mask] = first | part;
        }
        if (part === 0) break;
      }
    }
    chosen.push(group);
    best = next;
    const merit = best[all] as number;
    if (merit > answer.merit + 1e-9 || (answer.groups === 0 && merit > -Infinity))
      answer = { merit, groups: k };
  }

  const groups: number[][] = [];
  for (let mask = all, k = answer.groups - 1; mask > 0; k--) {
    const group = (chosen[k] as Int32Array)[mask] as number;
    groups.push(bitsOf(group));
    mask ^= group;
  }
  return groups;
}
