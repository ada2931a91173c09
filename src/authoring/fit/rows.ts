/**
 * What labelled records say of one finding: with these causes there, and these not, it was reported so. Given the causes,
 * findings do not depend on each other, so each finding is fitted on its own.
 */
import { ratioOf } from '../../assess/network/decibans.ts';
import type { Child, Network, Node, Pair } from '../../assess/network/network.ts';
import type { ReadCase } from '../score/forecasts.ts';

/** A link from a cause that may be there. */
export interface Parent {
  /** Id of the link or driver. */
  readonly link: string;
  /** Chance that the cause is there: 0 or 1 as labelled, between for a mechanism that nobody named. */
  readonly there: number;
}

export interface Situation {
  /** Likelihood ratio of all reports on the finding. */
  readonly lambda: number;
  /** One list a cause: of its two sides only the stronger brings the finding about. */
  readonly rivals: readonly (readonly Parent[])[];
}

export interface Row extends Situation {
  readonly swimmer: string;
  /** Rows that say the same have the same key. */
  readonly key: string;
}

export interface Counted extends Situation {
  readonly count: number;
}

/** Equal rows once, with their number: most swimmers are in one of a few situations. */
export function counted(rows: readonly Row[]): Counted[] {
  return [...Map.groupBy(rows, (r) => r.key).values()].map((same) => ({
    ...(same[0] as Row),
    count: same.length,
  }));
}

/** Chains of mechanisms are short; this many rounds reach the end of any. */
const ROUNDS = 8;

/** Chance of each node by the labels: named is 1, an unnamed root 0, an unnamed mechanism what its drivers bring about. */
function labels(network: Network, named: ReadonlySet<string>): Float64Array {
  const there = new Float64Array(network.nodes.length);
  for (let round = 0; round < ROUNDS; round++) {
    network.nodes.forEach((node: Node, n) => {
      if (named.has(node.key)) there[n] = 1;
      else if (node.role === 'mechanism') {
        let none = 1 - node.leak;
        for (const list of node.drivers) {
          const strongest = list.map((i) => {
            const pair = network.pairs[i] as Pair;
            return pair.q * (there[pair.node] as number);
          });
          none *= 1 - Math.max(0, ...strongest);
        }
        there[n] = 1 - none;
      }
    });
  }
  return there;
}

/** @returns rows by the code of the finding, in the order of the records; findings that nobody looked at have none */
export function rowsOf(cases: readonly ReadCase[]): Map<string, Row[]> {
  const rows = new Map<string, Row[]>();
  for (const { swimmer, named, study } of cases) {
    const { network, inputs } = study.weighed;
    const there = labels(network, named);
    network.children.forEach((child: Child, c) => {
      if (child.node >= 0 || inputs.assessed[c] === 0) return;
      const rivals = child.rivals.map((list) =>
        list
          .filter((i) => inputs.active[i] === 1)
          .map((i): Parent => {
            const pair = network.pairs[i] as Pair;
            return { link: pair.rule, there: there[pair.node] as number };
          }),
      );
      const own = rows.get(child.code) ?? [];
      const lambda = ratioOf(inputs.reportDb[c] as number);
      own.push({ swimmer, lambda, rivals, key: JSON.stringify([lambda, rivals]) });
      rows.set(child.code, own);
    });
  }
  return rows;
}
