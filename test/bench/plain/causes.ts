/** Listed causes and mechanisms with their lines, range and neighbours. */
import type { Side } from '../../../src/contract/common.ts';
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import type { FixedLine } from './evidence.ts';
import type { Findings } from './findings.ts';
import type { Network, Node, Pair } from './network.ts';
import { type Beliefs, type Inputs, logOddsOf, probabilityOf, weightOf } from './propagate.ts';
import { keyOf, type RuleBook } from './rule-book.ts';

export interface Cause {
  readonly code: string;
  readonly side: Side;
  readonly cost: string;
  readonly probability: number;
  readonly range: { readonly low: number; readonly high: number };
  readonly assessedShare: number;
  readonly explains: readonly { readonly code: string; readonly side: Side }[];
  readonly drivenBy: readonly { readonly cause: string; readonly side: Side }[];
  readonly rejected: boolean;
  readonly totalDb: number;
  /** The lines of the trail; they add up to the total. */
  readonly lines: readonly number[];
}

export interface Weighed {
  readonly network: Network;
  readonly inputs: Inputs;
  readonly beliefs: Beliefs;
  readonly fixed: readonly FixedLine[];
}

export const limited = (db: number, limit: number): number => Math.max(-limit, Math.min(limit, db));

export function probabilityOfNode(node: Node, { beliefs }: Weighed, book: RuleBook): number {
  return probabilityOf(limited(beliefs.logOdds[node.index]!, book.parts.constants.propagation.limitDb));
}

const reportOn = ({ child }: Pair, { beliefs, inputs }: Weighed): number =>
  child.mechanism === undefined
    ? (inputs.reports[child.index] ?? 0)
    : beliefs.passedUp[child.mechanism.index]!;

const ownFixed = (node: Node, fixed: readonly FixedLine[]): FixedLine[] =>
  fixed.filter((line) => line.cause === node.code && line.side === node.side);

/** What speaks for a node, before other causes took their share. */
export function ownEvidence(node: Node, weighed: Weighed): number {
  let sum = 0;
  for (const line of ownFixed(node, weighed.fixed)) sum += Math.max(0, line.db);
  for (const pair of node.children) {
    if (weighed.beliefs.weight[pair.index] === 0 || weighed.beliefs.factor[pair.index] === 0) continue;
    sum += Math.max(0, weightOf(10 ** (reportOn(pair, weighed) / 10), pair.shows, pair.child.leak));
  }
  return sum;
}

function rangeOf(node: Node, totalDb: number, weighed: Weighed, book: RuleBook): Cause['range'] {
  const { bins, range } = book.parts.constants;
  const { beliefs } = weighed;
  let up = range.wordHalfWidthDb ** 2;
  let down = up;
  let sum = 0;
  for (const pair of node.children) {
    const counted = beliefs.counted[pair.index]!;
    if (counted === 0) continue;
    const { shows, word, child } = pair;
    const lambda = 10 ** (reportOn(pair, weighed) / 10);
    const rivals = (1 - beliefs.background[pair.index]!) / (1 - child.leak);
    const redo = (s: number, leak: number): number => {
      const none = (1 - leak) * rivals;
      return (
        beliefs.factor[pair.index]! * weightOf(lambda, 1 - none * (1 - (s - leak) / (1 - leak)), 1 - none)
      );
    };
    const [s0, s1] = bins.shows[word] ?? [shows, shows];
    const [b0, b1] = bins.background[child.background] ?? [child.leak, child.leak];
    const ends = [
      [redo(Math.max(s0, child.leak + 0.005), child.leak), redo(s1, child.leak)],
      [redo(shows, b0), redo(shows, Math.min(b1, shows - 0.005))],
    ];
    for (const [a, b] of ends as [number, number][]) {
      up += Math.max(0, a - counted, b - counted) ** 2;
      down += Math.max(0, counted - a, counted - b) ** 2;
    }
    sum += counted;
  }
  for (const line of ownFixed(node, weighed.fixed)) {
    const width = (range.wordHalfWidthDb * line.groupFactor) ** 2 * 0.25;
    up += width;
    down += width;
    sum += line.db;
  }
  const shared = (range.sharedBias * Math.abs(sum)) ** 2;
  return {
    low: probabilityOf(totalDb - Math.sqrt(down + shared)),
    high: probabilityOf(totalDb + Math.sqrt(up + shared)),
  };
}

/** How much of what could tell was looked at. */
function assessedShare(node: Node, weighed: Weighed): number {
  let all = 0;
  let looked = 0;
  for (const { child, shows: s } of node.children) {
    if (child.mechanism !== undefined) continue;
    const f = child.leak;
    const telling = (s - f) * 10 * (Math.log10(s / f) - Math.log10((1 - s) / (1 - f)));
    all += telling;
    if (weighed.inputs.reports[child.index] !== undefined) looked += telling;
  }
  if (all === 0) return ownFixed(node, weighed.fixed).length > 0 ? 1 : 0;
  return looked / all;
}

function explains(node: Node, weighed: Weighed, findings: Findings): Cause['explains'] {
  const found = new Map<string, { code: string; side: Side }>();
  const collect = (n: Node): void => {
    for (const { index, child } of n.children) {
      if (weighed.beliefs.counted[index]! <= 0) continue;
      if (child.mechanism !== undefined) collect(child.mechanism);
      else if ((findings.get(child.key)?.db ?? 0) > 0)
        found.set(child.key, { code: child.code, side: child.side });
    }
  };
  collect(node);
  return [...found.keys()].sort().map((key) => found.get(key)!);
}

/** Prior, drivers one after the other, fixed lines, findings and mechanisms, and the limit. */
function linesOf(node: Node, totalDb: number, weighed: Weighed): number[] {
  const { beliefs, inputs, fixed } = weighed;
  const lines = [logOddsOf(node.leak)];
  const chances = (node.child?.rivals ?? []).flatMap((list) => {
    const active = list.filter((pair) => inputs.active[pair.index]);
    return active.length === 0 ? [] : [Math.max(...active.map((p) => p.q * beliefs.without[p.index]!))];
  });
  let none = 1 - node.leak;
  let before = logOddsOf(node.leak);
  for (const chance of chances.sort((a, b) => b - a)) {
    none *= 1 - chance;
    lines.push(logOddsOf(1 - none) - before);
    before = logOddsOf(1 - none);
  }
  for (const line of ownFixed(node, fixed)) lines.push(line.db);
  for (const { index } of node.children) if (beliefs.weight[index] !== 0) lines.push(beliefs.counted[index]!);
  const raw = beliefs.logOdds[node.index]!;
  return raw === totalDb ? lines : [...lines, totalDb - raw];
}

const byWeight = (a: Cause, b: Cause): number =>
  Math.round((b.totalDb - a.totalDb) * 1e6) || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1);

function drivers(cause: Cause, listed: readonly Cause[], book: RuleBook): Cause['drivenBy'] {
  return listed
    .filter((c) => book.parts.drivers.some((d) => d.driven === cause.code && d.driver === c.code))
    .filter((c) => c.side === 'body' || cause.side === 'body' || c.side === cause.side)
    .map((c) => ({ cause: c.code, side: c.side }))
    .sort((a, b) => (keyOf(a.cause, a.side) < keyOf(b.cause, b.side) ? -1 : 1));
}

export function listCauses(
  weighed: Weighed,
  findings: Findings,
  request: AssessmentRequest,
  book: RuleBook,
): { causes: Cause[]; mechanisms: Cause[] } {
  const { listing, propagation } = book.parts.constants;
  const listed: { role: Node['role']; cause: Cause }[] = [];
  for (const node of weighed.network.nodes) {
    const totalDb = limited(weighed.beliefs.logOdds[node.index]!, propagation.limitDb);
    const probability = probabilityOf(totalDb);
    if (probability < listing.probability || ownEvidence(node, weighed) < listing.ownEvidenceDb) continue;
    const rejected = (request.coach?.rejectCauses ?? []).some(
      (r) => r.cause === node.code && (r.side === undefined || r.side === 'both' || r.side === node.side),
    );
    const cause: Cause = {
      code: node.code,
      side: node.side,
      cost: book.causes.get(node.code)!.cost,
      probability,
      range: rangeOf(node, totalDb, weighed, book),
      assessedShare: assessedShare(node, weighed),
      explains: explains(node, weighed, findings),
      drivenBy: [],
      rejected,
      totalDb,
      lines: linesOf(node, totalDb, weighed),
    };
    listed.push({ role: node.role, cause });
  }
  const all = listed.map(({ cause }) => cause);
  const told = (mechanisms: boolean): Cause[] =>
    listed
      .filter(({ role }) => (role === 'mechanism') === mechanisms)
      .map(({ cause }) => ({ ...cause, drivenBy: drivers(cause, all, book) }))
      .sort(byWeight);
  return { causes: told(false), mechanisms: told(true) };
}

/** Causes that tie are told apart by what to work on first. */
export function rank(causes: readonly Cause[], focus: readonly { cause: string; side: string }[]): Cause[] {
  const place = (c: Cause): number => {
    const i = focus.findIndex((f) => f.cause === c.code && (f.side === 'both' || f.side === c.side));
    return i < 0 ? focus.length : i;
  };
  return [...causes].sort(
    (a, b) => Math.round((b.totalDb - a.totalDb) * 1e6) || place(a) - place(b) || byWeight(a, b),
  );
}
