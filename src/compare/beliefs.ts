/** What a film makes of a cause: how probable, how vague, and from which findings. */
import { probabilityOfNode } from '../assess/causes.ts';
import type { Child, Node, Pair } from '../assess/network/network.ts';
import { rangeOf } from '../assess/network/range.ts';
import type { Side } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';

/** Nodes of a cause; without a side, or with both, those of every side. */
export function nodesOf({ study }: Film, cause: string, side: Side | 'both' | undefined): number[] {
  return study.weighed.network.nodes.flatMap((node, n) =>
    node.code === cause && (side === undefined || side === 'both' || node.side === side) ? [n] : [],
  );
}

export const probabilityIn = (film: Film, node: number, ruleSet: RuleSet): number =>
  probabilityOfNode(node, film.study.weighed, ruleSet);

export function rangeIn(film: Film, node: number, ruleSet: RuleSet): { low: number; high: number } {
  const { weighed, evidence } = film.study;
  const { constants } = ruleSet.parts;
  const p = probabilityIn(film, node, ruleSet);
  return rangeOf(node, 10 * Math.log10(p / (1 - p)), evidence.fixed, weighed, constants);
}

/** Findings that can speak about a cause, its own and those of the mechanisms it drives, as children of the network. */
function childrenOf({ study }: Film, node: number): number[] {
  const { network } = study.weighed;
  const found = new Set<number>();
  const collect = (n: number): void => {
    for (const i of (network.nodes[n] as Node).children) {
      const { child } = network.pairs[i] as Pair;
      const { node: driven } = network.children[child] as Child;
      if (driven >= 0) collect(driven);
      else found.add(child);
    }
  };
  collect(node);
  return [...found];
}

export const evidenceOf = (film: Film, node: number): { code: string; side: Side }[] =>
  childrenOf(film, node).map((child) => film.study.weighed.network.children[child] as Child);

/** Was anything that can speak about the cause looked at in both films? A prior alone is no reading. */
export function lookedAtInBoth(before: Film, after: Film, node: number): boolean {
  const assessed = ({ study }: Film, child: number): boolean => study.weighed.inputs.assessed[child] === 1;
  return childrenOf(after, node).some((child) => assessed(before, child) && assessed(after, child));
}
