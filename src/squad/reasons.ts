/** Why a swimmer is in this group and not in one that works on his own first focus. */

import type { FormedGroup, Grouping } from './grouping.ts';
import { judge, type Swimmer, sumPoints } from './points.ts';

/** What stands against the best of the other lanes. */
export type Hindrance =
  | { readonly code: 'no-lane' }
  | {
      readonly code: 'full' | 'needed' | 'levels' | 'ages' | 'paces' | 'size' | 'others';
      readonly lane: number;
      readonly cause: string;
    };

/** The line of the points that loses most when a swimmer moves, and what the whole move loses. */
function costOfMove(i: number, from: FormedGroup, to: FormedGroup, grouping: Grouping) {
  const { field } = grouping;
  const before = [from.members, to.members];
  const after = [from.members.filter((m) => m !== i), [...to.members, i]];
  const sum = (groups: readonly (readonly number[])[]) => {
    const judged = groups.map((members) => judge(members, field));
    const levelBreaks = judged.reduce((n, g) => n + g.levelBreaks, 0);
    return { ...sumPoints(judged.map((g) => g.points)), levelBreaks };
  };
  const [old, now] = [sum(before), sum(after)];
  const lines = [
    ['levels', now.levels - old.levels],
    ['ages', now.ages - old.ages],
    ['paces', now.paces - old.paces],
    ['size', now.size - old.size],
    ['others', now.focus + now.outside - old.focus - old.outside],
  ] as const;
  const [worst] = [...lines].sort((a, b) => a[1] - b[1]) as [(typeof lines)[number]];
  const broken = now.levelBreaks > old.levelBreaks;
  return { code: broken ? ('levels' as const) : worst[0], total: now.total - old.total, broken };
}

/**
 * @param wanted own focus causes that the group does not work on, the first one first.
 * @returns what keeps the swimmer from a lane that works on one of them.
 */
export function hindranceOf(
  i: number,
  from: FormedGroup,
  wanted: readonly string[],
  grouping: Grouping,
): Hindrance {
  const { groups, sizes } = grouping;
  const others = groups
    .map((group, at) => ({ group, lane: at + 1 }))
    .filter(({ group }) => group !== from && group.cause !== null && wanted.includes(group.cause));
  const [first] = others;
  if (first === undefined) return { code: 'no-lane' };
  const about = ({ group, lane }: (typeof others)[number]) => ({ lane, cause: group.cause as string });
  const open = others.filter(({ group }) => group.members.length < sizes.max);
  if (open.length === 0) return { code: 'full', ...about(first) };
  if (from.members.length <= sizes.min) return { code: 'needed', ...about(open[0] ?? first) };
  const [best] = open
    .map((o) => ({ ...costOfMove(i, from, o.group, grouping), ...about(o) }))
    .sort((a, b) => Number(a.broken) - Number(b.broken) || b.total - a.total);
  const { code, lane, cause } = best as NonNullable<typeof best>;
  return { code, lane, cause };
}

/** Own causes in order, less the one that the group works on. */
export function missedBy(swimmer: Swimmer, cause: string | null): string[] {
  const at = swimmer.aims.findIndex((a) => a.cause === cause);
  return swimmer.aims.slice(0, at < 0 ? undefined : at).map((a) => a.cause);
}
