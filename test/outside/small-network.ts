/**
 * Noisy-OR networks small enough to work out in full: written by name, turned into the production network, and
 * enumerated over every combination of causes as the exact answer to compare with.
 */
import { ratioOf } from '../../src/assess/network/decibans.ts';
import type { Child, Network, Node, Pair } from '../../src/assess/network/network.ts';
import { type Inputs, propagate } from '../../src/assess/network/propagate.ts';
import type { Weighed } from '../../src/assess/network/weigh.ts';
import type { Constants } from '../../src/knowledge/parts.ts';

export interface SmallLink {
  /** A cause, or a mechanism. */
  readonly cause: string;
  /** A finding, or a mechanism that the cause brings about. */
  readonly finding: string;
  /** Either the chance that the parent alone brings the child about, or how often the child then shows. */
  readonly q?: number;
  readonly shows?: number;
  readonly group?: string;
}

export interface SmallNetwork {
  /** Prior of each cause. */
  readonly causes: { readonly [name: string]: number };
  /** Background of each mechanism. */
  readonly mechanisms?: { readonly [name: string]: number };
  /** Background of each finding. */
  readonly findings: { readonly [name: string]: number };
  readonly links: readonly SmallLink[];
  /** Weight in dB of what was reported; left out: not looked at. */
  readonly reports: { readonly [finding: string]: number };
}

/** A look that cannot be wrong. */
export const CERTAIN = 300;

export const SETTINGS: Constants['propagation'] = {
  ties: 'share',
  groupDiscount: 0.5,
  toleranceDb: 1e-9,
  damping: 0.5,
  maxSweeps: 200,
  maxRuns: 6,
  slowDamping: 0.9,
  slowMaxSweeps: 1500,
  limitDb: 20,
};

/** How often a finding shows when its one cause speaks for it with this weight, at most 95 in 100. */
export const showsAt = (authoredDb: number, leak: number): number =>
  Math.min(0.95, ratioOf(authoredDb) * leak);

const leakOf = (small: SmallNetwork, child: string): number =>
  (small.findings[child] ?? small.mechanisms?.[child]) as number;

export function qOf(small: SmallNetwork, link: SmallLink): number {
  const leak = leakOf(small, link.finding);
  return link.q ?? ((link.shows as number) - leak) / (1 - leak);
}

export const linkIndex = (small: SmallNetwork, cause: string, finding: string): number =>
  small.links.findIndex((l) => l.cause === cause && l.finding === finding);

export function toNetwork(small: SmallNetwork): { network: Network; inputs: Inputs } {
  const mechanisms = Object.keys(small.mechanisms ?? {});
  const nodeNames = [...Object.keys(small.causes), ...mechanisms];
  const childNames = [...Object.keys(small.findings), ...mechanisms];
  const nodeOf = new Map(nodeNames.map((name, i) => [name, i]));
  const childOf = new Map(childNames.map((name, i) => [name, i]));

  const pairs: Pair[] = small.links.map((link) => {
    const leak = leakOf(small, link.finding);
    const q = qOf(small, link);
    return {
      rule: `${link.cause}--${link.finding}`,
      firedAs: null,
      node: nodeOf.get(link.cause) as number,
      child: childOf.get(link.finding) as number,
      shows: 1 - (1 - leak) * (1 - q),
      showsWord: `${link.cause}--${link.finding}`,
      q,
      direct: false,
    };
  });
  const indexes = (keep: (pair: Pair) => boolean): number[] =>
    pairs.flatMap((pair, i) => (keep(pair) ? [i] : []));

  const children: Child[] = childNames.map((name, c) => ({
    key: name,
    code: name,
    side: 'body',
    leak: leakOf(small, name),
    leakWord: name,
    node: mechanisms.includes(name) ? (nodeOf.get(name) as number) : -1,
    rivals: indexes((p) => p.child === c).map((i) => [i]),
  }));
  const nodes: Node[] = nodeNames.map((name, n) => ({
    key: name,
    code: name,
    side: 'body',
    role: mechanisms.includes(name) ? 'mechanism' : 'root',
    leak: small.causes[name] ?? leakOf(small, name),
    children: indexes((p) => p.node === n),
    drivers: mechanisms.includes(name) ? (children[childOf.get(name) as number] as Child).rivals : [],
  }));
  const groups = Map.groupBy(
    pairs.flatMap((_, i) => (small.links[i]?.group === undefined ? [] : [i])),
    (i) => `${small.links[i]?.cause}|${small.links[i]?.group}`,
  );
  return {
    network: { nodes, children, pairs, nodeOf, childOf, strongerSide: [], groups: [...groups.values()] },
    inputs: {
      reportDb: Float64Array.from(childNames, (name) => small.reports[name] ?? 0),
      assessed: Uint8Array.from(childNames, (name) => (small.reports[name] === undefined ? 0 : 1)),
      fixedDb: new Float64Array(nodeNames.length),
      active: new Uint8Array(pairs.length).fill(1),
    },
  };
}

export interface Settled extends Weighed {
  /** Probability of a cause or mechanism. */
  readonly p: (name: string) => number;
  readonly db: (name: string) => number;
  /** Index of the link between a cause and a finding. */
  readonly at: (cause: string, finding: string) => number;
}

export function settle(small: SmallNetwork, settings = SETTINGS): Settled {
  const { network, inputs } = toNetwork(small);
  const beliefs = propagate(network, inputs, settings);
  const db = (name: string): number => beliefs.logOddsDb[network.nodeOf.get(name) as number] as number;
  return {
    findings: new Map(),
    network,
    inputs,
    beliefs,
    db,
    p: (name) => 1 / (1 + 10 ** (-db(name) / 10)),
    at: (cause, finding) => linkIndex(small, cause, finding),
  };
}

/** Exact posterior of every cause, mechanism and finding: the sum over all combinations, with no shortcut. */
export function enumerate(small: SmallNetwork): Map<string, number> {
  const causes = Object.entries(small.causes);
  const mechanisms = Object.keys(small.mechanisms ?? {});
  const findings = Object.keys(small.findings);
  const names = [...causes.map(([name]) => name), ...mechanisms];
  const mass = new Map([...names, ...findings].map((name) => [name, 0]));
  const add = (name: string, share: number): unknown => mass.set(name, (mass.get(name) as number) + share);
  let total = 0;
  for (let bits = 0; bits < 2 ** names.length; bits++) {
    const there = new Set(names.filter((_, i) => ((bits >> i) & 1) === 1));
    const chance = (child: string): number => {
      const active = small.links.filter((l) => l.finding === child && there.has(l.cause));
      return 1 - active.reduce((none, l) => none * (1 - qOf(small, l)), 1 - leakOf(small, child));
    };
    let joint = 1;
    for (const [name, prior] of causes) joint *= there.has(name) ? prior : 1 - prior;
    for (const name of mechanisms) joint *= there.has(name) ? chance(name) : 1 - chance(name);
    const believed = findings.map((name) => {
      const present = chance(name);
      const lambda = ratioOf(small.reports[name] ?? 0);
      const [yes, no] = [(present * lambda) / (1 + lambda), (1 - present) / (1 + lambda)];
      joint *= yes + no;
      return yes / (yes + no);
    });
    total += joint;
    for (const name of there) add(name, joint);
    findings.forEach((name, i) => {
      add(name, joint * (believed[i] as number));
    });
  }
  return new Map([...mass].map(([name, share]) => [name, share / total]));
}
