/**
 * The objective of grouping, written down a second time from its description and maximised by trying everything: every
 * way to deal swimmers to lanes, every own focus as the focus of each group. Slow on purpose.
 */
import type { Swimmer, Weights } from '../../src/squad/points.ts';

export interface Worth {
  /** Novice and advanced swimmers who have to share a lane: as few as can be, before anything else. */
  readonly breaks: number;
  readonly total: number;
}

export const better = (a: Worth, b: Worth): boolean =>
  a.breaks !== b.breaks ? a.breaks < b.breaks : a.total > b.total;

function pacePenalty(group: readonly Swimmer[], weights: Weights): number {
  const known = group.flatMap((s) => (s.pace === undefined ? [] : [s.pace]));
  return known
    .map((pace) => {
      const rivals = known.filter((p) => p.effort === pace.effort).map((p) => p.secondsPer100);
      const slower = pace.secondsPer100 / Math.min(...rivals) - 1;
      return Math.max(0, Math.min(weights.paceMost, weights.pace * (slower - weights.paceTolerance)));
    })
    .reduce((a, b) => a + b, 0);
}

export function worthOfGroup(group: readonly Swimmer[], even: number, weights: Weights): Worth {
  const causes = [...new Set(group.flatMap((s) => s.aims.map((a) => a.cause)))];
  const served = causes.map((cause) =>
    group
      .filter((s) => s.aims.length > 0)
      .map((s) => s.aims.find((a) => a.cause === cause)?.worth ?? -weights.outside)
      .reduce((a, b) => a + b, 0),
  );
  const lowest = Math.min(...group.map((s) => s.level));
  const minors = group.filter((s) => s.adult === false).length;
  const adults = group.filter((s) => s.adult === true).length;
  const total =
    (causes.length === 0 ? 0 : Math.max(...served)) -
    group.map((s) => (s.level - lowest) * weights.levelStep).reduce((a, b) => a + b, 0) -
    Math.min(minors, adults) * weights.minorsWithAdults -
    pacePenalty(group, weights) -
    weights.size * (group.length - even) ** 2;
  const novices = group.filter((s) => s.level === 0).length;
  const advanced = group.filter((s) => s.level === 2).length;
  return { breaks: Math.min(novices, advanced), total };
}

export function worthOfGroups(
  groups: readonly (readonly Swimmer[])[],
  even: number,
  weights: Weights,
): Worth {
  return groups
    .map((g) => worthOfGroup(g, even, weights))
    .reduce((a, b) => ({ breaks: a.breaks + b.breaks, total: a.total + b.total }), { breaks: 0, total: 0 });
}

/** @returns the best there is, or undefined when no dealing has the sizes. */
export function bruteForce(
  swimmers: readonly Swimmer[],
  lanes: number,
  sizes: { readonly min: number; readonly max: number; readonly even: number },
  weights: Weights,
): Worth | undefined {
  let best: Worth | undefined;
  const lane = swimmers.map(() => 0);
  // counts through all dealings like a number with one digit for each swimmer
  for (let left = lanes ** swimmers.length; left > 0; left--) {
    const groups = Array.from({ length: lanes }, (_, l) => swimmers.filter((_s, i) => lane[i] === l)).filter(
      (g) => g.length > 0,
    );
    if (groups.every((g) => g.length >= sizes.min && g.length <= sizes.max)) {
      const worth = worthOfGroups(groups, sizes.even, weights);
      if (best === undefined || better(worth, best)) best = worth;
    }
    for (let i = 0; i < lane.length; i++) {
      lane[i] = ((lane[i] as number) + 1) % lanes;
      if (lane[i] !== 0) break;
    }
  }
  return best;
}
