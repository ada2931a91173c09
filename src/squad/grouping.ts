/** Who swims with whom: the best grouping of a small squad, a good one of a larger one. */
import { EXACT_UP_TO, groupExactly } from './exact.ts';
import { type Field, fieldOf, type Judged, judge, type Swimmer, type Weights } from './points.ts';
import { groupBySearch } from './search.ts';
import { type AskedSizes, type Sizes, sizesFor } from './sizes.ts';

export interface FormedGroup extends Judged {
  /** Indices of the swimmers, rising. */
  readonly members: readonly number[];
}

export interface Grouping {
  readonly method: 'exact' | 'search';
  readonly field: Field;
  readonly sizes: Sizes;
  readonly levelBreaks: number;
  /** In the order of the lanes: the lowest level first, then the slowest. */
  readonly groups: readonly FormedGroup[];
}

const lowest = (group: FormedGroup, swimmers: readonly Swimmer[]): number =>
  Math.min(...group.members.map((i) => (swimmers[i] as Swimmer).level));

function slowest(group: FormedGroup, swimmers: readonly Swimmer[]): number {
  const paces = group.members.flatMap((i) => swimmers[i]?.pace?.secondsPer100 ?? []);
  return paces.length === 0 ? 0 : Math.max(...paces);
}

/**
 * @param swimmers in an order that does not depend on the order of the request.
 * @returns groups; together they hold every swimmer once.
 */
export function formGroups(
  swimmers: readonly Swimmer[],
  lanes: number,
  asked: AskedSizes,
  weights: Weights,
): Grouping {
  const sizes = sizesFor(swimmers.length, lanes, asked, weights.spread);
  const field = fieldOf(swimmers, sizes.even, weights);
  const method = swimmers.length <= EXACT_UP_TO ? 'exact' : 'search';
  const find = method === 'exact' ? groupExactly : groupBySearch;
  const groups = swimmers.length === 0 ? [] : find(field, lanes, sizes);
  const formed = groups.map((members) => ({ members, ...judge(members, field) }));
  formed.sort(
    (a, b) =>
      lowest(a, swimmers) - lowest(b, swimmers) ||
      slowest(b, swimmers) - slowest(a, swimmers) ||
      (a.members[0] as number) - (b.members[0] as number),
  );
  const levelBreaks = formed.reduce((sum, g) => sum + g.levelBreaks, 0);
  return { method, field, sizes, levelBreaks, groups: formed };
}
