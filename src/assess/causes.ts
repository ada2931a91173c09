/** Stage 4. Ranked causes and mechanisms, each with its probability, range, trail and neighbours. */
import type { Cause, TrailLine } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { CauseEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Evidence } from './evidence.ts';
import { setFact } from './facts.ts';
import { type Findings, keyOf } from './findings.ts';
import { db, probabilityOf } from './network/decibans.ts';
import type { Child, Node, Pair } from './network/network.ts';
import { rangeOf } from './network/range.ts';
import { linesOf, ownEvidenceDb } from './network/trail.ts';
import type { Weighed } from './network/weigh.ts';
import { labelOfCause, phrase } from './phrases.ts';
import type { Record } from './record.ts';

export interface ListedCauses {
  readonly causes: readonly Cause[];
  readonly mechanisms: readonly Cause[];
}

/** Log-odds as it is shown: nothing seen from a pool deck is more certain than 99 %. */
function limited(logOddsDb: number, limitDb: number): number {
  return Math.max(-limitDb, Math.min(limitDb, logOddsDb));
}

export function probabilityWord(p: number, ruleSet: RuleSet): string {
  const words = ruleSet.parts.constants.probabilityWords;
  return (words.find((w) => p >= w.from) ?? (words.at(-1) as (typeof words)[number])).word;
}

export function probabilityOfNode(nodeIndex: number, weighed: Weighed, ruleSet: RuleSet): number {
  return probabilityOf(
    limited(weighed.beliefs.logOddsDb[nodeIndex] as number, ruleSet.parts.constants.propagation.limitDb),
  );
}

/** How telling a finding is for a cause whichever way it turns out (Jeffreys divergence, dB). */
function tellingness(pair: Pair, child: Child): number {
  const { shows: s } = pair;
  const { leak: f } = child;
  return (s - f) * (db(s / f) - db((1 - s) / (1 - f)));
}

function assessedShare(node: Node, weighed: Weighed, hasFixedLines: boolean): number {
  let all = 0;
  let looked = 0;
  for (const i of node.children) {
    const pair = weighed.network.pairs[i] as Pair;
    const child = weighed.network.children[pair.child] as Child;
    if (child.node >= 0) continue;
    const telling = tellingness(pair, child);
    all += telling;
    if (weighed.inputs.assessed[pair.child] === 1) looked += telling;
  }
  if (all === 0) return hasFixedLines ? 1 : 0;
  return looked / all;
}

/** Present findings that speak for a node, its own and those of the mechanisms it drives. */
function explains(nodeIndex: number, weighed: Weighed, findings: Findings): { code: string; side: Side }[] {
  const { network, beliefs } = weighed;
  const keys = new Set<string>();
  const collect = (n: number): void => {
    for (const i of (network.nodes[n] as Node).children) {
      if ((beliefs.countedDb[i] as number) <= 0) continue;
      const child = network.children[(network.pairs[i] as Pair).child] as Child;
      if (child.node >= 0) collect(child.node);
      else if ((findings.get(child.key)?.db ?? 0) > 0) keys.add(child.key);
    }
  };
  collect(nodeIndex);
  return [...keys].sort().map((key) => {
    const [code, side = 'body'] = key.split('@') as [string, Side?];
    return { code, side };
  });
}

/** Drivers among the listed causes: what was not seen to be there drives nothing in the story. */
function drivenBy(cause: Cause, listed: readonly Cause[], ruleSet: RuleSet): Cause['drivenBy'] {
  const drivers = new Set(ruleSet.parts.drivers.filter((d) => d.driven === cause.code).map((d) => d.driver));
  return listed
    .filter((c) => drivers.has(c.code))
    .filter((c) => c.side === 'body' || cause.side === 'body' || c.side === cause.side)
    .map((c) => ({ cause: c.code, side: c.side }))
    .sort((a, b) => (keyOf(a.cause, a.side) < keyOf(b.cause, b.side) ? -1 : 1));
}

function describe(
  n: number,
  lines: TrailLine[],
  weighed: Weighed,
  evidence: Evidence,
  findings: Findings,
  record: Record,
  ruleSet: RuleSet,
): Cause {
  const { limitDb } = ruleSet.parts.constants.propagation;
  const node = weighed.network.nodes[n] as Node;
  const entry = ruleSet.causes.get(node.code) as CauseEntry;
  const raw = weighed.beliefs.logOddsDb[n] as number;
  const totalDb = limited(raw, limitDb);
  const trail =
    totalDb === raw
      ? lines
      : [...lines, { kind: 'limit' as const, db: totalDb - raw, text: phrase(ruleSet, 'trail-limit') }];
  const probability = probabilityOf(totalDb);
  const rejected = record.coach.rejectCauses.find(
    (r) => r.cause === node.code && (r.side === 'both' || r.side === node.side),
  );
  return {
    code: node.code,
    label: labelOfCause(ruleSet, node.code),
    side: node.side,
    kind: entry.kind,
    cost: entry.cost,
    probability,
    range: rangeOf(n, totalDb, evidence.fixed, weighed, ruleSet.parts.constants),
    probabilityWord: probabilityWord(probability, ruleSet),
    assessedShare: assessedShare(
      node,
      weighed,
      evidence.fixed.some((l) => keyOf(l.cause, l.side) === node.key),
    ),
    ...(rejected === undefined ? {} : { rejectedByCoach: rejected.because }),
    explains: explains(n, weighed, findings),
    drivenBy: [],
    totalDb,
    trail,
  };
}

/** Differences below a millionth of a decibel are rounding: left and right of one story tie. */
const weightGap = (a: Cause, b: Cause): number => Math.round((b.totalDb - a.totalDb) * 1e6);

const byWeight = (a: Cause, b: Cause): number =>
  weightGap(a, b) || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1);

/** A cause is listed when it is probable enough and something was seen that speaks for it: a prior is not evidence. */
export function listCauses(
  weighed: Weighed,
  evidence: Evidence,
  findings: Findings,
  record: Record,
  ruleSet: RuleSet,
): ListedCauses {
  const { listing } = ruleSet.parts.constants;
  const causes: Cause[] = [];
  const mechanisms: Cause[] = [];
  weighed.network.nodes.forEach((node, n) => {
    if (probabilityOfNode(n, weighed, ruleSet) < listing.probability) return;
    const lines = linesOf(n, evidence.fixed, weighed, ruleSet, record.swimmer.level);
    if (ownEvidenceDb(lines) < listing.ownEvidenceDb) return;
    const cause = describe(n, lines, weighed, evidence, findings, record, ruleSet);
    (node.role === 'mechanism' ? mechanisms : causes).push(cause);
  });
  const all = [...causes, ...mechanisms];
  const withDrivers = (list: Cause[]): Cause[] =>
    list.sort(byWeight).map((cause) => ({ ...cause, drivenBy: drivenBy(cause, all, ruleSet) }));
  return { causes: withDrivers(causes), mechanisms: withDrivers(mechanisms) };
}

/** Causes that later rules can ask for. */
export function publishCauses(listed: ListedCauses, weighed: Weighed, slots: Slots, ruleSet: RuleSet): void {
  weighed.network.nodes.forEach((node, n) => {
    setFact(ruleSet, slots, `cause:${node.key}`, probabilityOfNode(n, weighed, ruleSet));
  });
  setFact(ruleSet, slots, 'listed-causes', listed.causes.length);
  setFact(ruleSet, slots, 'leading-cause', listed.causes[0]?.code);
}

/** Causes tied at the limit are told apart by what to work on first, not by decibans that nobody can see. */
export function rankCauses(
  causes: readonly Cause[],
  focus: readonly { cause: string; side: string }[],
): Cause[] {
  const place = (c: Cause): number => {
    const i = focus.findIndex((f) => f.cause === c.code && (f.side === 'both' || f.side === c.side));
    return i < 0 ? focus.length : i;
  };
  return [...causes].sort((a, b) => weightGap(a, b) || place(a) - place(b) || byWeight(a, b));
}
