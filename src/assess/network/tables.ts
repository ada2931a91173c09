/** A network as flat arrays, which is what the loop walks over. Lists of lists are written end to end with their starts. */
import { remembered } from '../remembered.ts';
import type { Network, Node } from './network.ts';

export interface Tables {
  /** Per pair: its parent, its child, and the frequencies of the author. */
  readonly node: Int32Array;
  readonly child: Int32Array;
  readonly q: Float64Array;
  readonly shows: Float64Array;
  /** Per child: how often it is there with none of its causes, and the mechanism that it is; -1 for a finding. */
  readonly leak: Float64Array;
  readonly mechanism: Int32Array;
  /** Rivals of child c are the lists `listsOf[c]` to `listsOf[c + 1]`; list l holds `pairs[pairsOf[l]]` to `[pairsOf[l + 1]]`. */
  readonly listsOf: Int32Array;
  readonly pairsOf: Int32Array;
  readonly pairs: Int32Array;
  /** Children that are mechanisms, and the child that a node is; -1 for a node that nothing drives. */
  readonly mechanisms: readonly number[];
  readonly childOfNode: Int32Array;
  /** Per node: chance and odds when nothing drives it; per pair: the same chance of its parent. */
  readonly rest: Float64Array;
  readonly restOdds: Float64Array;
  readonly restOfParent: Float64Array;
}

/** Built once a network. */
export const tablesOf = remembered(({ nodes, children, pairs }: Network): Tables => {
  const lists = children.flatMap((child) => child.rivals);
  const starts = (lengths: readonly number[]): Int32Array => {
    const from = new Int32Array(lengths.length + 1);
    lengths.forEach((length, i) => {
      from[i + 1] = (from[i] as number) + length;
    });
    return from;
  };
  return {
    node: Int32Array.from(pairs, (pair) => pair.node),
    child: Int32Array.from(pairs, (pair) => pair.child),
    q: Float64Array.from(pairs, (pair) => pair.q),
    shows: Float64Array.from(pairs, (pair) => pair.shows),
    leak: Float64Array.from(children, (child) => child.leak),
    mechanism: Int32Array.from(children, (child) => child.node),
    listsOf: starts(children.map((child) => child.rivals.length)),
    pairsOf: starts(lists.map((list) => list.length)),
    pairs: Int32Array.from(lists.flat()),
    mechanisms: children.flatMap((child, c) => (child.node < 0 ? [] : [c])),
    childOfNode: Int32Array.from(nodes, (_, n) => children.findIndex((child) => child.node === n)),
    rest: Float64Array.from(nodes, (node) => node.leak),
    restOdds: Float64Array.from(nodes, (node) => node.leak / (1 - node.leak)),
    restOfParent: Float64Array.from(pairs, (pair) => (nodes[pair.node] as Node).leak),
  };
});
