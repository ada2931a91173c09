/**
 * 90 % range of a cause from the vagueness of the words: each authored word is a bin, the line is re-done at both
 * ends of the bin, and the half-widths are added as a root sum of squares, up and down apart. A shared bias of the
 * whole rule set is added in proportion to the sum of the lines. It is not a confidence interval from data.
 */
import type { Constants } from '../../knowledge/parts.ts';
import type { FixedLine } from '../evidence.ts';
import { keyOf } from '../findings.ts';
import { probabilityOf, ratioOf, weightOfReport } from './decibans.ts';
import type { Child, Node, Pair } from './network.ts';
import type { Weighed } from './weigh.ts';

/** Keeps a shifted word inside what it is compared with. */
const APART = 0.005;

export function rangeOf(
  nodeIndex: number,
  totalDb: number,
  fixed: readonly FixedLine[],
  weighed: Weighed,
  c: Constants,
): { low: number; high: number } {
  const { network, beliefs, inputs } = weighed;
  const node = network.nodes[nodeIndex] as Node;
  const half = c.range.wordHalfWidthDb;
  let up = half * half;
  let down = half * half;
  let sum = 0;

  for (const i of node.children) {
    const counted = beliefs.countedDb[i] as number;
    if (counted === 0) continue;
    const pair = network.pairs[i] as Pair;
    const child = network.children[pair.child] as Child;
    const reportDb = (
      child.node >= 0 ? beliefs.passedUpDb[child.node] : inputs.reportDb[pair.child]
    ) as number;
    const lambda = ratioOf(reportDb);
    const rivals = (1 - (beliefs.background[i] as number)) / (1 - child.leak);
    const redo = (shows: number, leak: number): number => {
      const q = (shows - leak) / (1 - leak);
      const none = (1 - leak) * rivals;
      return (beliefs.factor[i] as number) * weightOfReport(lambda, 1 - none * (1 - q), 1 - none);
    };
    const [s0, s1] = c.bins.shows[pair.showsWord] ?? [pair.shows, pair.shows];
    const [b0, b1] = c.bins.background[child.leakWord] ?? [child.leak, child.leak];
    const ends = [
      [redo(Math.max(s0, child.leak + APART), child.leak), redo(s1, child.leak)],
      [redo(pair.shows, b0), redo(pair.shows, Math.min(b1, pair.shows - APART))],
    ];
    for (const [a, b] of ends as [number, number][]) {
      up += Math.max(0, a - counted, b - counted) ** 2;
      down += Math.max(0, counted - a, counted - b) ** 2;
    }
    sum += counted;
  }
  for (const line of fixed) {
    if (keyOf(line.cause, line.side) !== node.key) continue;
    const width = (half * line.groupFactor) ** 2 * 0.25;
    up += width;
    down += width;
    sum += line.db;
  }
  const shared = (c.range.sharedBias * Math.abs(sum)) ** 2;
  return {
    low: probabilityOf(totalDb - Math.sqrt(down + shared)),
    high: probabilityOf(totalDb + Math.sqrt(up + shared)),
  };
}
