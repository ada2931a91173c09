/**
 * Stage 9. What to look at next: for each thing not looked at, the expected gain of certainty about the causes in
 * play, and whether the advice would change. Both come from running the record again with the look in it.
 */
import type { NextLook } from '../contract/answer.ts';
import type { Side, View } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { ownEvidenceDb, probabilityOfNode, shownProbability } from './causes.ts';
import { viewsOf } from './facts.ts';
import { keyOf } from './findings.ts';
import { entropy, ratioOf } from './network/decibans.ts';
import type { Child, Node, Pair } from './network/network.ts';
import { believed, predicted } from './network/propagate.ts';
import { labelOfCause, labelOfFinding, phrase, sideWords } from './phrases.ts';
import type { Record } from './record.ts';
import { viewCapDb } from './reports.ts';
import type { Concluded, Study } from './study.ts';
import { type Look, studyWith, whatIf } from './what-if.ts';

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

/**
 * Not looked at yet, or looked at without a result: reports that contradict each other, no view that shows it, or a
 * measured value so near a threshold that it says less than evidence has to say.
 */
function worthLooking(entry: Child, child: number, c: Concluded, ruleSet: RuleSet): boolean {
  if (c.weighed.inputs.assessed[child] === 0) return true;
  const found = c.findings.get(entry.key);
  if (found === undefined) return false;
  const open = Math.abs(found.db) < ruleSet.parts.constants.listing.ownEvidenceDb;
  return found.contradiction || found.limitedByView || open;
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
        entry.node < 0 && ruleSet.observations.has(entry.code) && worthLooking(entry, child, c, ruleSet),
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

function adviceOf(s: Study): string {
  return JSON.stringify([s.status, s.focus.map((f) => [f.cause, f.side])]);
}

type Beliefs = NextLook['now'];

function beliefsIn(
  nodes: readonly number[],
  totalsDb: readonly number[],
  { weighed }: Concluded,
  ruleSet: RuleSet,
): Beliefs {
  return nodes.map((n, i) => {
    const { code, side } = weighed.network.nodes[n] as Node;
    return { cause: code, side, probability: shownProbability(totalsDb[i] as number, ruleSet) };
  });
}

function beliefsNow(nodes: readonly number[], c: Concluded, ruleSet: RuleSet): Beliefs {
  const totalsDb = nodes.map((n) => c.weighed.beliefs.logOddsDb[n] as number);
  return beliefsIn(nodes, totalsDb, c, ruleSet);
}

const bitsOf = (beliefs: Beliefs): number => beliefs.reduce((sum, b) => sum + entropy(b.probability), 0);

/** A candidate with what it would tell. */
interface Weighed extends Look {
  readonly chance: number;
  readonly bits: number;
  readonly ifSeen: Beliefs;
  readonly ifNotSeen: Beliefs;
}

function weigh(
  { code, side, child }: Candidate,
  playing: readonly number[],
  c: Concluded,
  record: Record,
  ruleSet: RuleSet,
): Weighed {
  const look: Look = { code, side, view: viewFor(code, c, record, ruleSet) };
  const seen = whatIf(playing, look, true, c, record, ruleSet);
  const notSeen = whatIf(playing, look, false, c, record, ruleSet);
  const now = beliefsNow(playing, c, ruleSet);
  // a look that would stop everything says nothing more about technique
  const ifSeen = seen === undefined ? now : beliefsIn(playing, seen.totalsDb, c, ruleSet);
  const ifNotSeen = notSeen === undefined ? now : beliefsIn(playing, notSeen.totalsDb, c, ruleSet);

  const key = keyOf(code, side);
  const before = c.findings.get(key);
  const { certaintyDb } = ruleSet.parts.constants.reports;
  // a first look counts what its report counts; a second look is as good as its own certainty
  const lookDb =
    before === undefined && seen !== undefined
      ? (seen.findings.get(key)?.db ?? 0)
      : certaintyDb.filmed[ruleSet.parts.constants.nextLook.certainty];
  const hit = ratioOf(lookDb) / (1 + ratioOf(lookDb));
  const alone = predicted(c.weighed.network, c.weighed.beliefs, child, c.weighed.inputs.active);
  const there = believed(alone, before?.db ?? 0);
  const chance = 1 - hit + (2 * hit - 1) * there;
  const bits = Math.max(0, bitsOf(now) - chance * bitsOf(ifSeen) - (1 - chance) * bitsOf(ifNotSeen));
  return { ...look, chance, bits, ifSeen, ifNotSeen };
}

/** Names the causes that the look would move most. */
function becauseOf({ ifSeen, ifNotSeen }: Weighed, ruleSet: RuleSet): string {
  const moved = ifSeen
    .map((b, i) => ({ ...b, by: Math.abs(b.probability - (ifNotSeen[i] as typeof b).probability) }))
    .filter((b) => b.by >= 0.05)
    .sort((a, b) => b.by - a.by || (a.cause < b.cause ? -1 : 1))
    .slice(0, 2)
    .map((b) => `${labelOfCause(ruleSet, b.cause)}${sideWords(ruleSet, b.side)}`);
  if (moved.length === 0) return phrase(ruleSet, 'look-nothing');
  return phrase(ruleSet, 'look-because', { causes: moved.join('; ') });
}

function tell(
  look: Weighed,
  playing: readonly number[],
  c: Concluded,
  record: Record,
  ruleSet: RuleSet,
): NextLook {
  const { code, side, view, chance, bits, ifSeen, ifNotSeen } = look;
  const changesAdvice = (present: boolean): boolean =>
    adviceOf(studyWith(look, present, record, ruleSet)) !== adviceOf(c);
  return {
    code,
    label: labelOfFinding(ruleSet, code),
    side,
    view,
    probability: chance,
    bits,
    wouldChangeAdvice: changesAdvice(true) || changesAdvice(false),
    because: becauseOf(look, ruleSet),
    now: beliefsNow(playing, c, ruleSet),
    ifPresent: { probability: chance, causes: ifSeen },
    ifAbsent: { probability: 1 - chance, causes: ifNotSeen },
  };
}

/** Gains that differ by rounding only are one gain: left and right of one story tie, and their names decide. */
const rounded = (look: Weighed): number => Math.round(look.bits * 1e9);

/** The most telling looks, one a code: the two sides are looked at together anyway. */
export function nextLooks(c: Concluded, record: Record, ruleSet: RuleSet): NextLook[] {
  if (record.options.nextLooks === 0) return [];
  const playing = inPlay(c, ruleSet);
  const looks = candidates(c, playing, ruleSet)
    .map((candidate) => weigh(candidate, playing, c, record, ruleSet))
    .sort((a, b) => rounded(b) - rounded(a) || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1));
  const codes = new Set<string>();
  return looks
    .filter((look) => !codes.has(look.code) && codes.add(look.code))
    .slice(0, record.options.nextLooks)
    .map((look) => tell(look, playing, c, record, ruleSet));
}
