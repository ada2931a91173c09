/** Stage 4. Which causes and mechanisms are listed, how probable each is, and what it explains. */
import type { Cause } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { CauseEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Evidence } from './evidence.ts';
import { setFact, slotsByCode } from './facts.ts';
import { type Findings, keyOf } from './findings.ts';
import { probabilityOf, ratioOf, weightOfReport } from './network/decibans.ts';
import type { Child, Node, Pair } from './network/network.ts';
import type { Weighed } from './network/weigh.ts';
import type { Record } from './record.ts';
import { remembered } from './remembered.ts';

/** What the later stages ask about a cause; the answer tells more (cause-answers.ts). */
export interface Listed
  extends Pick<Cause, 'code' | 'side' | 'cost' | 'probability' | 'totalDb' | 'explains' | 'rejectedByCoach'> {
  readonly node: number;
}

export interface ListedCauses {
  readonly causes: readonly Listed[];
  readonly mechanisms: readonly Listed[];
}

/** Log-odds as it is shown: nothing seen from a pool deck is more certain than 99 %. */
function limited(logOddsDb: number, limitDb: number): number {
  return Math.max(-limitDb, Math.min(limitDb, logOddsDb));
}

export function probabilityWord(p: number, ruleSet: RuleSet): string {
  const words = ruleSet.parts.constants.probabilityWords;
  return (words.find((w) => p >= w.from) ?? (words.at(-1) as (typeof words)[number])).word;
}

/** Probability as it is shown. */
export function shownProbability(logOddsDb: number, ruleSet: RuleSet): number {
  return probabilityOf(limited(logOddsDb, ruleSet.parts.constants.propagation.limitDb));
}

export function probabilityOfNode(nodeIndex: number, weighed: Weighed, ruleSet: RuleSet): number {
  return shownProbability(weighed.beliefs.logOddsDb[nodeIndex] as number, ruleSet);
}

/** Positive evidence of a node's own, before other causes took their share. A prior or a driver is no evidence. */
export function ownEvidenceDb(
  nodeIndex: number,
  evidence: Evidence,
  { network, beliefs, inputs }: Weighed,
): number {
  const node = network.nodes[nodeIndex] as Node;
  let sum = 0;
  for (const line of evidence.fixed) {
    if (line.cause === node.code && line.side === node.side) sum += Math.max(0, line.db);
  }
  for (const i of node.children) {
    if (beliefs.weightDb[i] === 0 || beliefs.factor[i] === 0) continue;
    const pair = network.pairs[i] as Pair;
    const child = network.children[pair.child] as Child;
    const reportDb = (
      child.node >= 0 ? beliefs.passedUpDb[child.node] : inputs.reportDb[pair.child]
    ) as number;
    sum += Math.max(0, weightOfReport(ratioOf(reportDb), pair.shows, child.leak));
  }
  return sum;
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

/** Differences below a millionth of a decibel are rounding: left and right of one story tie. */
const weightGap = (a: Listed, b: Listed): number => Math.round((b.totalDb - a.totalDb) * 1e6);

const byWeight = (a: Listed, b: Listed): number =>
  weightGap(a, b) || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1);

/** A cause is listed when it is probable enough and something was seen that speaks for it: a prior is not evidence. */
export function listCauses(
  weighed: Weighed,
  evidence: Evidence,
  findings: Findings,
  record: Record,
  ruleSet: RuleSet,
): ListedCauses {
  const { listing, propagation } = ruleSet.parts.constants;
  const causes: Listed[] = [];
  const mechanisms: Listed[] = [];
  weighed.network.nodes.forEach((node, n) => {
    const totalDb = limited(weighed.beliefs.logOddsDb[n] as number, propagation.limitDb);
    const probability = probabilityOf(totalDb);
    if (probability < listing.probability) return;
    if (ownEvidenceDb(n, evidence, weighed) < listing.ownEvidenceDb) return;
    const rejected = record.coach.rejectCauses.find(
      (r) => r.cause === node.code && (r.side === 'both' || r.side === node.side),
    );
    (node.role === 'mechanism' ? mechanisms : causes).push({
      node: n,
      code: node.code,
      side: node.side,
      cost: (ruleSet.causes.get(node.code) as CauseEntry).cost,
      probability,
      totalDb,
      explains: explains(n, weighed, findings),
      ...(rejected === undefined ? {} : { rejectedByCoach: rejected.because }),
    });
  });
  return { causes: causes.sort(byWeight), mechanisms: mechanisms.sort(byWeight) };
}

const causeSlots = remembered((ruleSet: RuleSet) => {
  const keys = ruleSet.parts.causes.flatMap(({ code }) => [code, `${code}@left`, `${code}@right`]);
  return slotsByCode(ruleSet, keys, 'cause:');
});

/** Causes that later rules can ask for. */
export function publishCauses(listed: ListedCauses, weighed: Weighed, slots: Slots, ruleSet: RuleSet): void {
  const { nodeOf } = weighed.network;
  for (const [key, slot] of causeSlots(ruleSet)) {
    const n = nodeOf.get(key);
    if (n !== undefined) slots[slot] = probabilityOfNode(n, weighed, ruleSet);
  }
  setFact(ruleSet, slots, 'listed-causes', listed.causes.length);
  setFact(ruleSet, slots, 'leading-cause', listed.causes[0]?.code);
}

/** Causes tied at the limit are told apart by what to work on first, not by decibans that nobody can see. */
export function rankCauses(
  causes: readonly Listed[],
  focus: readonly { cause: string; side: string }[],
): Listed[] {
  const place = (c: Listed): number => {
    const i = focus.findIndex((f) => f.cause === c.code && (f.side === 'both' || f.side === c.side));
    return i < 0 ? focus.length : i;
  };
  return [...causes].sort((a, b) => weightGap(a, b) || place(a) - place(b) || byWeight(a, b));
}
