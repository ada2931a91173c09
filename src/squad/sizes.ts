/** How large groups may be. */

export interface Sizes {
  readonly min: number;
  readonly max: number;
  /** An even share of the lanes, within the two. */
  readonly even: number;
  /** False where no grouping has the asked sizes: they were widened by as little as makes one possible. */
  readonly kept: boolean;
}

export interface AskedSizes {
  readonly min?: number | undefined;
  readonly max?: number | undefined;
}

/** Numbers of groups that are possible: each `k` with k * min <= swimmers <= k * max. */
export function groupCounts(
  swimmers: number,
  lanes: number,
  { min, max }: Pick<Sizes, 'min' | 'max'>,
): number[] {
  const counts: number[] = [];
  for (let k = 1; k <= lanes; k++) if (k * min <= swimmers && swimmers <= k * max) counts.push(k);
  return counts;
}

/**
 * @param spread how far groups may be from an even share where no size is asked for.
 * @returns sizes for which a grouping exists. Nobody swims alone unless that was asked for or nobody else is there.
 */
export function sizesFor(swimmers: number, lanes: number, asked: AskedSizes, spread: number): Sizes {
  const share = swimmers / lanes;
  const least = Math.min(2, swimmers);
  const usual = {
    min: Math.max(least, Math.floor(share) - spread),
    max: Math.max(3, Math.ceil(share) + spread),
  };
  let min = asked.min ?? Math.min(usual.min, asked.max ?? usual.min);
  let max = asked.max ?? Math.max(usual.max, min);
  const kept = groupCounts(swimmers, lanes, { min, max }).length > 0;
  if (!kept) {
    min = Math.min(min, swimmers);
    // the most groups that can be filled; they then hold what they must
    const groups = Math.min(lanes, Math.floor(swimmers / min));
    max = Math.max(max, Math.ceil(swimmers / groups));
  }
  return { min, max, even: Math.min(max, Math.max(min, share)), kept };
}
