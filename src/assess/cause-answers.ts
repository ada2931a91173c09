/** The listed causes as the answer tells them: label, range, trail and neighbours. */
import type { Cause, TrailLine } from '../contract/answer.ts';
import type { CauseEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Listed, type ListedCauses, probabilityWord } from './causes.ts';
import { driversOf } from './drivers.ts';
import type { Evidence } from './evidence.ts';
import { keyOf } from './findings.ts';
import { db } from './network/decibans.ts';
import type { Child, Node, Pair } from './network/network.ts';
import { rangeOf } from './network/range.ts';
import { linesOf } from './network/trail.ts';
import type { Weighed } from './network/weigh.ts';
import { labelOfCause, phrase } from './phrases.ts';
import type { Record } from './record.ts';

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

/** Drivers among the listed causes: what was not seen to be there drives nothing in the story. */
export function drivenBy(
  cause: Listed,
  { causes, mechanisms }: ListedCauses,
  ruleSet: RuleSet,
): Cause['drivenBy'] {
  const drivers = driversOf(ruleSet).get(cause.code);
  if (drivers === undefined) return [];
  return [...causes, ...mechanisms]
    .filter((c) => drivers.has(c.code))
    .filter((c) => c.side === 'body' || cause.side === 'body' || c.side === cause.side)
    .map((c) => ({ cause: c.code, side: c.side }))
    .sort((a, b) => (keyOf(a.cause, a.side) < keyOf(b.cause, b.side) ? -1 : 1));
}

function trailOf(
  cause: Listed,
  weighed: Weighed,
  evidence: Evidence,
  record: Record,
  ruleSet: RuleSet,
): TrailLine[] {
  const lines = linesOf(cause.node, evidence.fixed, weighed, ruleSet, record.swimmer.level);
  const raw = weighed.beliefs.logOddsDb[cause.node] as number;
  if (cause.totalDb === raw) return lines;
  return [...lines, { kind: 'limit', db: cause.totalDb - raw, text: phrase(ruleSet, 'trail-limit') }];
}

/** @returns the causes or mechanisms in the order they are listed. */
export function tellCauses(
  list: readonly Listed[],
  listed: ListedCauses,
  weighed: Weighed,
  evidence: Evidence,
  record: Record,
  ruleSet: RuleSet,
): Cause[] {
  return list.map((cause): Cause => {
    const { node: n, code, side, cost, probability, totalDb, explains, rejectedByCoach } = cause;
    const node = weighed.network.nodes[n] as Node;
    const hasFixedLines = evidence.fixed.some((line) => line.cause === code && line.side === side);
    return {
      code,
      label: labelOfCause(ruleSet, code),
      side,
      kind: (ruleSet.causes.get(code) as CauseEntry).kind,
      cost,
      probability,
      range: rangeOf(n, totalDb, evidence.fixed, weighed, ruleSet.parts.constants),
      probabilityWord: probabilityWord(probability, ruleSet),
      assessedShare: assessedShare(node, weighed, hasFixedLines),
      ...(rejectedByCoach === undefined ? {} : { rejectedByCoach }),
      explains,
      drivenBy: drivenBy(cause, listed, ruleSet),
      totalDb,
      trail: trailOf(cause, weighed, evidence, record, ruleSet),
    };
  });
}
