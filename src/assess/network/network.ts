/**
 * The noisy-OR network of one rule set and level: causes, mechanisms, findings, and the pairs that join them.
 *
 * A pair is one parent (a cause or mechanism) of one child (a finding or a driven mechanism), on concrete sides.
 * The author gives two plain frequencies: `shows` (if this is the only fault, how often is it seen) and the
 * child's `background` (how often it is there with none of its causes); q = (shows - background) / (1 - background)
 * is the chance that the parent alone brings the child about.
 */
import type { Level, Side } from '../../contract/common.ts';
import type { CauseEntry, DriverEntry, EvidenceParams } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { keyOf } from '../findings.ts';

export interface Node {
  readonly key: string;
  readonly code: string;
  readonly side: Side;
  readonly role: CauseEntry['role'];
  /** Prior of a cause, or background of a mechanism. */
  readonly leak: number;
  readonly children: readonly number[];
  /** Pairs with the node's drivers, one list a driving cause: its two sides are one rival. */
  readonly drivers: readonly (readonly number[])[];
}

export interface Child {
  readonly key: string;
  readonly code: string;
  readonly side: Side;
  readonly leak: number;
  readonly leakWord: string;
  /** The node behind a driven mechanism; -1 for a finding. */
  readonly node: number;
  /** Pairs by parent cause; the two sides of one cause stand in one list and are never rivals of each other. */
  readonly rivals: readonly (readonly number[])[];
}

export interface Pair {
  readonly rule: string;
  /** Place of its rule in the evidence stage; null for a driver, which needs no evidence. */
  readonly firedAs: number | null;
  readonly node: number;
  readonly child: number;
  readonly shows: number;
  readonly showsWord: string;
  readonly q: number;
  readonly direct: boolean;
}

export interface Network {
  readonly nodes: readonly Node[];
  readonly children: readonly Child[];
  readonly pairs: readonly Pair[];
  readonly nodeOf: ReadonlyMap<string, number>;
  readonly childOf: ReadonlyMap<string, number>;
  /** Pairs of which only the larger side counts (sided finding, whole-body cause), by node and finding. */
  readonly strongerSide: readonly (readonly number[])[];
  /** Pairs of one node that are prints of one thing. */
  readonly groups: readonly (readonly number[])[];
}

const SIDES: readonly Side[] = ['left', 'right'];
const sidesOf = (sided: boolean): readonly Side[] => (sided ? SIDES : ['body']);

function sidesMatch(rule: EvidenceParams['side'], parent: Side, child: Side): boolean {
  if (rule === 'same') return parent === child;
  if (rule === 'opposite') return parent !== child;
  return true;
}

/** Two arms drive each other's mechanisms only on their own side. */
function driverReaches(parent: Side, child: Side): boolean {
  return parent === 'body' || child === 'body' || parent === child;
}

function groupLists(keys: ReadonlyMap<string, number[]>): number[][] {
  return [...keys.values()].filter((list) => list.length > 1);
}

function push(map: Map<string, number[]>, key: string, value: number): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}

export function buildNetwork(ruleSet: RuleSet, level: Level): Network {
  const { parts } = ruleSet;
  const { words } = parts.constants;
  const inferred = parts.drivers.filter((d) => d.infer);

  const causes = parts.causes.flatMap((cause) => sidesOf(cause.sided).map((side) => ({ cause, side })));
  const nodeOf = new Map(causes.map(({ cause, side }, i) => [keyOf(cause.code, side), i]));
  const leakOf = (cause: CauseEntry): number =>
    cause.role === 'mechanism'
      ? (words.background[cause.background as string] as number)
      : (words.prior[cause.prior?.[level] as string] as number);

  const driven = new Set(inferred.map((d) => d.driven));
  const childEntries = [
    ...parts.findings.flatMap((f) =>
      sidesOf(f.sided).map((side) => ({
        code: f.code,
        side,
        leakWord: f.background,
        leak: words.background[f.background] as number,
        node: -1,
      })),
    ),
    ...causes
      .filter(({ cause }) => driven.has(cause.code))
      .map(({ cause, side }) => ({
        code: cause.code,
        side,
        leakWord: cause.background as string,
        leak: leakOf(cause),
        node: nodeOf.get(keyOf(cause.code, side)) as number,
      })),
  ];
  // a mechanism may share its code with no finding: codes of causes and findings are separate families
  const childKey = (code: string, side: Side, node: number): string =>
    node < 0 ? keyOf(code, side) : `mechanism:${keyOf(code, side)}`;
  const childOf = new Map(childEntries.map((c, i) => [childKey(c.code, c.side, c.node), i]));

  const pairs: Pair[] = [];
  const stronger = new Map<string, number[]>();
  const groups = new Map<string, number[]>();
  const add = (
    node: number,
    child: number,
    shows: number,
    pair: Pick<Pair, 'rule' | 'firedAs' | 'showsWord' | 'direct'>,
  ): number => {
    const { leak } = childEntries[child] as (typeof childEntries)[number];
    pairs.push({ ...pair, node, child, shows, q: (shows - leak) / (1 - leak) });
    return pairs.length - 1;
  };

  const { rules } = ruleSet.stages.evidence;
  const placeOf = new Map(rules.map((rule, place) => [keyOf(rule.id, rule.side), place]));
  for (const link of parts.links) {
    const { cause, finding, shows, side, group, direct = false } = link.event.params;
    const parentSides = sidesOf(ruleSet.causes.get(cause)?.sided ?? false);
    const findingSided = ruleSet.findings.get(finding)?.sided ?? false;
    for (const p of parentSides) {
      for (const c of sidesOf(findingSided)) {
        if (!sidesMatch(side, p, c)) continue;
        const node = nodeOf.get(keyOf(cause, p)) as number;
        const instance = findingSided ? c : p;
        const pair = add(node, childOf.get(keyOf(finding, c)) as number, words.shows[shows] as number, {
          rule: link.id,
          firedAs: placeOf.get(keyOf(link.id, link.scope === 'body' ? 'body' : instance)) as number,
          showsWord: shows,
          direct,
        });
        if (side === 'stronger') push(stronger, `${node}|${finding}`, pair);
        if (group !== undefined) push(groups, `${node}|${group}`, pair);
      }
    }
  }
  for (const edge of inferred) addDriver(edge);

  function addDriver(edge: DriverEntry): void {
    const parentSided = ruleSet.causes.get(edge.driver)?.sided ?? false;
    const childSided = ruleSet.causes.get(edge.driven)?.sided ?? false;
    for (const p of sidesOf(parentSided)) {
      for (const c of sidesOf(childSided)) {
        if (!driverReaches(p, c)) continue;
        const node = nodeOf.get(keyOf(edge.driver, p)) as number;
        const child = childOf.get(`mechanism:${keyOf(edge.driven, c)}`) as number;
        const { leak } = childEntries[child] as (typeof childEntries)[number];
        // a driver always adds something to what is there without it
        const shows = Math.max(words.shows[edge.shows] as number, leak + 0.02);
        const pair = add(node, child, shows, {
          rule: edge.id,
          firedAs: null,
          showsWord: edge.shows,
          direct: false,
        });
        if (!parentSided && childSided) push(stronger, `${node}|mechanism:${edge.driven}`, pair);
      }
    }
  }

  const causeOfPair = (i: number): string =>
    (causes[(pairs[i] as Pair).node] as (typeof causes)[number]).cause.code;
  const byCause = (list: readonly number[]): number[][] => {
    const map = new Map<string, number[]>();
    for (const i of list) push(map, causeOfPair(i), i);
    return [...map.values()];
  };
  const pairsOfChild = childEntries.map((): number[] => []);
  const pairsOfNode = causes.map((): number[] => []);
  pairs.forEach((pair, i) => {
    (pairsOfChild[pair.child] as number[]).push(i);
    (pairsOfNode[pair.node] as number[]).push(i);
  });

  const children: Child[] = childEntries.map((c, i) => ({
    ...c,
    key: keyOf(c.code, c.side),
    rivals: byCause(pairsOfChild[i] as number[]),
  }));
  const nodes: Node[] = causes.map(({ cause, side }, i) => {
    const asChild = childOf.get(`mechanism:${keyOf(cause.code, side)}`);
    return {
      key: keyOf(cause.code, side),
      code: cause.code,
      side,
      role: cause.role,
      leak: leakOf(cause),
      children: pairsOfNode[i] as number[],
      drivers: asChild === undefined ? [] : (children[asChild] as Child).rivals,
    };
  });
  return {
    nodes,
    children,
    pairs,
    nodeOf,
    childOf,
    strongerSide: groupLists(stronger),
    groups: groupLists(groups),
  };
}

const built = new WeakMap<RuleSet, Map<Level, Network>>();

/** The network of a rule set for swimmers of one level, built once. */
export function networkOf(ruleSet: RuleSet, level: Level): Network {
  const levels = built.get(ruleSet) ?? new Map<Level, Network>();
  built.set(ruleSet, levels);
  const known = levels.get(level) ?? buildNetwork(ruleSet, level);
  levels.set(level, known);
  return known;
}
