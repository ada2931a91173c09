/** The exact engine of the package bayesjs (junction tree), driven with the same small networks. */
import bayesjs, { type INetwork, type INode } from 'bayesjs';
import { ratioOf } from '../../src/assess/network/decibans.ts';
import { qOf, type SmallNetwork } from './small-network.ts';

const STATES = ['yes', 'no'];
const yes = (p: number): { [state: string]: number } => ({ yes: p, no: 1 - p });

/** A node with yes and no; `chance` is asked for every combination of its parents. */
export function node(
  id: string,
  parents: readonly string[],
  chance: (there: ReadonlySet<string>) => number,
): INode {
  if (parents.length === 0) return { id, states: STATES, parents: [], cpt: yes(chance(new Set())) };
  const cpt = Array.from({ length: 2 ** parents.length }, (_, bits) => {
    const there = new Set(parents.filter((_, i) => ((bits >> i) & 1) === 1));
    const when = Object.fromEntries(parents.map((p) => [p, there.has(p) ? 'yes' : 'no']));
    // biome-ignore lint/suspicious/noThenProperty: the name that bayesjs reads
    return { when, then: yes(chance(there)) }; // oxlint-disable-line unicorn/no-thenable
  });
  return { id, states: STATES, parents: [...parents], cpt };
}

export const networkOf = (nodes: readonly INode[]): INetwork =>
  Object.fromEntries(nodes.map((n) => [n.id, n]));

/** The three engines of the package. */
export const ENGINES = {
  'junction tree': bayesjs.inferences.junctionTree,
  'variable elimination': bayesjs.inferences.variableElimination,
  enumeration: bayesjs.inferences.enumeration,
};

export const probability = (
  net: INetwork,
  name: string,
  given: { readonly [name: string]: string },
  engine: keyof typeof ENGINES = 'junction tree',
): number => ENGINES[engine].infer(net, { [name]: 'yes' }, given);

/** An uncertain report is one more node below the finding, seen for certain (Pearl 1988). */
export function exactly(small: SmallNetwork): Map<string, number> {
  const leaks = { ...small.mechanisms, ...small.findings };
  const children = Object.entries(leaks).map(([name, leak]) => {
    const links = small.links.filter((l) => l.finding === name);
    return node(
      name,
      links.map((l) => l.cause),
      (there) =>
        1 - links.filter((l) => there.has(l.cause)).reduce((none, l) => none * (1 - qOf(small, l)), 1 - leak),
    );
  });
  const reports = Object.entries(small.reports).map(([finding, db]) => {
    const lambda = ratioOf(db);
    return node(`report-${finding}`, [finding], (there) => (there.size > 0 ? lambda : 1) / (1 + lambda));
  });
  const causes = Object.entries(small.causes).map(([name, prior]) => node(name, [], () => prior));
  const net = networkOf([...causes, ...children, ...reports]);
  const given = Object.fromEntries(reports.map((r) => [r.id, 'yes']));
  return new Map(Object.keys(net).map((name) => [name, probability(net, name, given)]));
}
