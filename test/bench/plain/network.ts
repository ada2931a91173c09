/** Causes, findings and the pairs that join them, as lists of objects. */
import type { Level, Side } from '../../../src/contract/common.ts';
import type { RuleInstance } from '../../../src/engine/stage.ts';
import type { EvidenceParams, Parts } from '../../../src/knowledge/parts.ts';

/** A cause or a mechanism, on one side. */
export interface Node {
  readonly index: number;
  readonly key: string;
  readonly code: string;
  readonly side: Side;
  readonly role: 'root' | 'mechanism' | 'meta';
  readonly leak: number;
  /** Pairs with what it brings about. */
  readonly children: Pair[];
  /** The mechanism as something that others bring about. */
  child: Child | undefined;
}

/** A finding, or a mechanism that is driven, on one side. */
export interface Child {
  readonly index: number;
  readonly key: string;
  readonly code: string;
  readonly side: Side;
  readonly leak: number;
  readonly background: string;
  readonly mechanism: Node | undefined;
  readonly pairs: Pair[];
  /** Its pairs by cause: the two sides of one cause are one rival. */
  rivals: Pair[][];
}

export interface Pair {
  readonly index: number;
  readonly rule: string;
  /** The written-out rule that has to fire; undefined for a driver. */
  readonly link: RuleInstance<EvidenceParams> | undefined;
  readonly node: Node;
  readonly child: Child;
  readonly word: string;
  readonly shows: number;
  readonly q: number;
}

export interface Network {
  readonly nodes: readonly Node[];
  readonly children: readonly Child[];
  readonly pairs: readonly Pair[];
  readonly nodeByKey: ReadonlyMap<string, Node>;
  readonly findingByKey: ReadonlyMap<string, Child>;
  readonly strongerSide: readonly (readonly Pair[])[];
  readonly groups: readonly (readonly Pair[])[];
}

const sidesOf = (sided: boolean): Side[] => (sided ? ['left', 'right'] : ['body']);
const keyOf = (code: string, side: Side): string => (side === 'body' ? code : `${code}@${side}`);

export function buildNetwork(
  parts: Parts,
  links: readonly RuleInstance<EvidenceParams>[],
  level: Level,
): Network {
  const { words } = parts.constants;
  const nodes: Node[] = [];
  for (const cause of parts.causes) {
    for (const side of sidesOf(cause.sided)) {
      const leak =
        cause.role === 'mechanism' ? words.background[cause.background!]! : words.prior[cause.prior![level]]!;
      const { code, role } = cause;
      const index = nodes.length;
      nodes.push({ index, key: keyOf(code, side), code, side, role, leak, children: [], child: undefined });
    }
  }
  const nodeByKey = new Map(nodes.map((node) => [node.key, node]));

  const children: Child[] = [];
  for (const { code, sided, background } of parts.findings) {
    for (const side of sidesOf(sided)) {
      const leak = words.background[background]!;
      children.push({
        index: children.length,
        key: keyOf(code, side),
        code,
        side,
        leak,
        background,
        mechanism: undefined,
        pairs: [],
        rivals: [],
      });
    }
  }
  const findingByKey = new Map(children.map((child) => [child.key, child]));
  const inferred = parts.drivers.filter((d) => d.infer);
  for (const node of nodes) {
    if (!inferred.some((d) => d.driven === node.code)) continue;
    const background = parts.causes.find((c) => c.code === node.code)!.background!;
    const { key, code, side, leak } = node;
    const index = children.length;
    node.child = { index, key, code, side, leak, background, mechanism: node, pairs: [], rivals: [] };
    children.push(node.child);
  }

  const pairs: Pair[] = [];
  const strongerSide = new Map<string, Pair[]>();
  const groups = new Map<string, Pair[]>();
  const join = (
    node: Node,
    child: Child,
    word: string,
    shows: number,
    link: RuleInstance<EvidenceParams> | undefined,
    rule: string,
  ): Pair => {
    const q = (shows - child.leak) / (1 - child.leak);
    const pair = { index: pairs.length, rule, link, node, child, word, shows, q };
    pairs.push(pair);
    node.children.push(pair);
    child.pairs.push(pair);
    return pair;
  };
  const addTo = (lists: Map<string, Pair[]>, key: string, pair: Pair): void => {
    lists.set(key, [...(lists.get(key) ?? []), pair]);
  };

  for (const authored of parts.links) {
    const p = authored.event.params;
    const causeSided = parts.causes.find((c) => c.code === p.cause)!.sided;
    const findingSided = parts.findings.find((f) => f.code === p.finding)!.sided;
    for (const of of sidesOf(causeSided)) {
      for (const on of sidesOf(findingSided)) {
        if (p.side === 'same' && of !== on) continue;
        if (p.side === 'opposite' && of === on) continue;
        const node = nodeByKey.get(keyOf(p.cause, of))!;
        const child = findingByKey.get(keyOf(p.finding, on))!;
        const ruleSide = authored.scope === 'body' ? 'body' : findingSided ? on : of;
        const link = links.find((rule) => rule.id === authored.id && rule.side === ruleSide);
        const pair = join(node, child, p.shows, words.shows[p.shows]!, link, authored.id);
        if (p.side === 'stronger') addTo(strongerSide, `${node.key}|${p.finding}`, pair);
        if (p.group !== undefined) addTo(groups, `${node.key}|${p.group}`, pair);
      }
    }
  }
  for (const edge of inferred) {
    const driverSided = parts.causes.find((c) => c.code === edge.driver)!.sided;
    const drivenSided = parts.causes.find((c) => c.code === edge.driven)!.sided;
    for (const of of sidesOf(driverSided)) {
      for (const on of sidesOf(drivenSided)) {
        if (of !== 'body' && on !== 'body' && of !== on) continue;
        const node = nodeByKey.get(keyOf(edge.driver, of))!;
        const child = nodeByKey.get(keyOf(edge.driven, on))!.child!;
        // a driver always adds something to what is there without it
        const shows = Math.max(words.shows[edge.shows]!, child.leak + 0.02);
        const pair = join(node, child, edge.shows, shows, undefined, edge.id);
        if (!driverSided && drivenSided) addTo(strongerSide, `${node.key}|mechanism:${edge.driven}`, pair);
      }
    }
  }
  for (const child of children) {
    child.rivals = [...Map.groupBy(child.pairs, (pair) => pair.node.code).values()];
  }
  const several = (lists: Map<string, Pair[]>): Pair[][] => [...lists.values()].filter((l) => l.length > 1);
  return {
    nodes,
    children,
    pairs,
    nodeByKey,
    findingByKey,
    strongerSide: several(strongerSide),
    groups: several(groups),
  };
}
