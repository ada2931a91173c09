/**
 * Stage 9. What to look at next: for each thing not looked at, the expected gain of certainty about the causes in
 * play, and whether the advice would change. Both come from running the record again with the look in it.
 */
import type { NextLook } from '../contract/answer.ts';
import type { Side, View } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { ownEvidenceDb, probabilityOfNode } from './causes.ts';
import { viewsOf } from './facts.ts';
import { keyOf, viewCapDb } from './findings.ts';
import { entropy, ratioOf } from './network/decibans.ts';
import type { Child, Node, Pair } from './network/network.ts';
import { believed, predicted } from './network/propagate.ts';
import { labelOfCause, labelOfFinding, phrase, sideWords } from './phrases.ts';
import { runFlowNow } from './pipeline.ts';
import type { Record, SeenEntry } from './record.ts';
import { type Concluded, type Study, study } from './study.ts';

interface Candidate {
  readonly code: string;
  readonly side: Side;
  readonly child: number;
  /** Rough promise, to keep the list short: how telling the look is for causes that are still open. */
  readonly promise: number;
}

/** Root causes that something speaks for, before other causes took their share. */
export function inPlay(c: Concluded, ruleSet: RuleSet): number[] {
  const { ownEvidenceDb: least } = ruleSet.parts.constants.listing;
  return c.weighed.network.nodes.flatMap((node, n) =>
    node.role === 'root' && ownEvidenceDb(n, c.evidence, c.weighed) >= least ? [n] : [],
  );
}

/** Not looked at yet, or looked at without a result: reports that contradict each other, or no view that shows it. */
function worthLooking(entry: Child, child: number, c: Concluded): boolean {
  if (c.weighed.inputs.assessed[child] === 0) return true;
  const found = c.findings.get(entry.key);
  return found !== undefined && (found.contradiction || found.limitedByView);
}

function candidates(c: Concluded, playing: readonly number[], ruleSet: RuleSet): Candidate[] {
  const { network } = c.weighed;
  const promise = new Map<number, number>();
  const collect = (n: number, open: number, share: number): void => {
    for (const i of (network.nodes[n] as Node).children) {
      const pair = network.pairs[i] as Pair;
      const child = network.children[pair.child] as Child;
      if (child.node >= 0) collect(child.node, open, share * pair.q);
      promise.set(pair.child, (promise.get(pair.child) ?? 0) + open * share * pair.q);
      // a rival that is looked at first also says something about this cause
      for (const list of child.rivals) {
        for (const k of list) {
          for (const j of (network.nodes[(network.pairs[k] as Pair).node] as Node).children) {
            const { child: other } = network.pairs[j] as Pair;
            if (!promise.has(other)) promise.set(other, 0);
          }
        }
      }
    }
  };
  for (const n of playing) collect(n, entropy(probabilityOfNode(n, c.weighed, ruleSet)), 1);
  return [...promise]
    .map(([child, value]) => ({ entry: network.children[child] as Child, child, promise: value }))
    .filter(
      ({ entry, child }) =>
        entry.node < 0 && ruleSet.observations.has(entry.code) && worthLooking(entry, child, c),
    )
    .map(({ entry, child, promise: value }) => ({
      code: entry.code,
      side: entry.side,
      child,
      promise: value,
    }))
    .sort((a, b) => b.promise - a.promise || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1))
    .slice(0, ruleSet.parts.constants.nextLook.candidates);
}

/** The view to look from: one that shows it without a limit, in hand if possible. */
function viewFor(code: string, c: Concluded, record: Record, ruleSet: RuleSet): View {
  const views = ruleSet.observations.get(code)?.views ?? [];
  const flags = c.flags.flatMap((flag) => ruleSet.flags.get(flag) ?? []);
  const inHand = viewsOf(record);
  const best = (view: View): number =>
    (viewCapDb(code, view, flags, ruleSet) === Number.POSITIVE_INFINITY ? 2 : 0) +
    (inHand?.includes(view) ? 1 : 0);
  return [...views].sort((a, b) => best(b) - best(a))[0] as View;
}

/** The record as it would be after the look. */
export function withLook(
  record: Record,
  look: { code: string; side: Side; view: View },
  present: boolean,
  ruleSet: RuleSet,
): Record {
  const { severity, certainty } = ruleSet.parts.constants.nextLook;
  const entry: SeenEntry = {
    ...look,
    certainty,
    severity: (present ? severity : 0) as SeenEntry['severity'],
  };
  return { ...record, observations: [...record.observations, entry] };
}

function adviceOf(s: Study): string {
  return JSON.stringify([s.status, s.focus.map((f) => [f.cause, f.side])]);
}

interface Outcome {
  readonly study: Study;
  readonly beliefs: readonly { readonly cause: string; readonly side: Side; readonly probability: number }[];
}

function beliefsOf(s: Study, nodes: readonly Node[], ruleSet: RuleSet): Outcome['beliefs'] | undefined {
  if (s.status === 'stop') return undefined;
  const { weighed } = s;
  return nodes.map((node) => ({
    cause: node.code,
    side: node.side,
    probability: probabilityOfNode(weighed.network.nodeOf.get(node.key) as number, weighed, ruleSet),
  }));
}

const bitsOf = (beliefs: Outcome['beliefs']): number =>
  beliefs.reduce((sum, b) => sum + entropy(b.probability), 0);

function judge(
  candidate: Candidate,
  c: Concluded,
  nodes: readonly Node[],
  record: Record,
  ruleSet: RuleSet,
): NextLook {
  const { code, side } = candidate;
  const view = viewFor(code, c, record, ruleSet);
  const outcome = (present: boolean): Study =>
    runFlowNow(study(withLook(record, { code, side, view }, present, ruleSet), ruleSet));
  const seen = outcome(true);
  const notSeen = outcome(false);
  const now = beliefsOf(c, nodes, ruleSet) as Outcome['beliefs'];
  // a look that would stop everything says nothing more about technique
  const ifSeen = beliefsOf(seen, nodes, ruleSet) ?? now;
  const ifNotSeen = beliefsOf(notSeen, nodes, ruleSet) ?? now;

  const key = keyOf(code, side);
  const before = c.findings.get(key);
  const { certaintyDb } = ruleSet.parts.constants.reports;
  // a first look counts what its report counts; a second look is as good as its own certainty
  const lookDb =
    before === undefined && seen.status !== 'stop'
      ? (seen.findings.get(key)?.db ?? 0)
      : certaintyDb.filmed[ruleSet.parts.constants.nextLook.certainty];
  const hit = ratioOf(lookDb) / (1 + ratioOf(lookDb));
  const alone = predicted(c.weighed.network, c.weighed.beliefs, candidate.child, c.weighed.inputs.active);
  const there = believed(alone, before?.db ?? 0);
  const chance = 1 - hit + (2 * hit - 1) * there;
  const bits = Math.max(0, bitsOf(now) - chance * bitsOf(ifSeen) - (1 - chance) * bitsOf(ifNotSeen));
  const moved = now
    .map((b, i) => ({
      ...b,
      by: Math.abs((ifSeen[i] as typeof b).probability - (ifNotSeen[i] as typeof b).probability),
    }))
    .filter((b) => b.by >= 0.05)
    .sort((a, b) => b.by - a.by || (a.cause < b.cause ? -1 : 1))
    .slice(0, 2)
    .map((b) => `${labelOfCause(ruleSet, b.cause)}${sideWords(ruleSet, b.side)}`);
  return {
    code,
    label: labelOfFinding(ruleSet, code),
    side,
    view,
    probability: chance,
    bits,
    wouldChangeAdvice: adviceOf(seen) !== adviceOf(c) || adviceOf(notSeen) !== adviceOf(c),
    because:
      moved.length === 0
        ? phrase(ruleSet, 'look-nothing')
        : phrase(ruleSet, 'look-because', { causes: moved.join('; ') }),
    now: [...now],
    ifPresent: { probability: chance, causes: [...ifSeen] },
    ifAbsent: { probability: 1 - chance, causes: [...ifNotSeen] },
  };
}

/** Gains that differ by rounding only are one gain: left and right of one story tie, and their names decide. */
const rounded = (look: NextLook): number => Math.round(look.bits * 1e9);

/** The most telling looks, one a code: the two sides are looked at together anyway. */
export function nextLooks(c: Concluded, record: Record, ruleSet: RuleSet): NextLook[] {
  if (record.options.nextLooks === 0) return [];
  const playing = inPlay(c, ruleSet);
  const nodes = playing.map((n) => c.weighed.network.nodes[n] as Node);
  const looks = candidates(c, playing, ruleSet)
    .map((candidate) => judge(candidate, c, nodes, record, ruleSet))
    .sort((a, b) => rounded(b) - rounded(a) || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1));
  const codes = new Set<string>();
  return looks
    .filter((look) => !codes.has(look.code) && codes.add(look.code))
    .slice(0, record.options.nextLooks);
}
