/** What to look at next: each candidate is tried by assessing the record again with the look in it. */
import type { Side, View } from '../../../src/contract/common.ts';
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import { type Conclusion, conclude, type Study } from './assess.ts';
import { ownEvidence, probabilityOfNode } from './causes.ts';
import type { Child, Node } from './network.ts';
import { believed, predicted } from './propagate.ts';
import type { RuleBook } from './rule-book.ts';
import { viewCap } from './weights.ts';

export interface Look {
  readonly code: string;
  readonly side: Side;
  readonly view: View;
  readonly probability: number;
  readonly bits: number;
  readonly wouldChangeAdvice: boolean;
  /** Probabilities of the causes in play as they stand, if it is seen, if it is not. */
  readonly now: readonly number[];
  readonly ifPresent: readonly number[];
  readonly ifAbsent: readonly number[];
}

const entropy = (p: number): number =>
  p <= 0 || p >= 1 ? 0 : -(p * Math.log2(p) + (1 - p) * Math.log2(1 - p));
const bitsOf = (beliefs: readonly number[]): number => beliefs.reduce((sum, p) => sum + entropy(p), 0);

function candidates(c: Conclusion, playing: readonly Node[], book: RuleBook): Child[] {
  const { weighed, findings } = c;
  const promise = new Map<Child, number>();
  const collect = (node: Node, open: number, share: number): void => {
    for (const { child, q } of node.children) {
      if (child.mechanism !== undefined) collect(child.mechanism, open, share * q);
      promise.set(child, (promise.get(child) ?? 0) + open * share * q);
      // a rival that is looked at first also says something about this cause
      for (const rival of child.pairs) {
        for (const other of rival.node.children) {
          if (!promise.has(other.child)) promise.set(other.child, 0);
        }
      }
    }
  };
  for (const node of playing) collect(node, entropy(probabilityOfNode(node, weighed, book)), 1);
  const worth = (child: Child): boolean => {
    if (child.mechanism !== undefined || !book.observations.has(child.code)) return false;
    const found = findings.get(child.key);
    return found === undefined || found.contradiction || found.limitedByView;
  };
  return [...promise]
    .filter(([child]) => worth(child))
    .sort(([a, x], [b, y]) => y - x || (a.key < b.key ? -1 : 1))
    .slice(0, book.parts.constants.nextLook.candidates)
    .map(([child]) => child);
}

function viewFor(code: string, c: Conclusion, book: RuleBook): View {
  const flags = c.entries.flags.flatMap((flag) => book.flags.get(flag) ?? []);
  const best = (view: View): number =>
    (viewCap(code, view, flags, book) === Number.POSITIVE_INFINITY ? 2 : 0) +
    (c.entries.views?.includes(view) ? 1 : 0);
  return [...(book.observations.get(code)?.views ?? [])].sort((a, b) => best(b) - best(a))[0]!;
}

const adviceOf = (s: Study): string =>
  JSON.stringify([s.status, s.status === 'stop' ? [] : s.plan.focus.map((f) => [f.cause, f.side])]);

export function nextLooks(c: Conclusion, request: AssessmentRequest, book: RuleBook): Look[] {
  const { nextLook, reports, listing } = book.parts.constants;
  const playing = c.weighed.network.nodes.filter(
    (node) => node.role === 'root' && ownEvidence(node, c.weighed) >= listing.ownEvidenceDb,
  );
  const beliefs = (s: Study): number[] =>
    playing.map((node) => probabilityOfNode(node, s.status === 'stop' ? c.weighed : s.weighed, book));
  const now = beliefs(c);
  const looks = candidates(c, playing, book).map((child): Look => {
    const { code, side, key } = child;
    const view = viewFor(code, c, book);
    const after = (severity: number): Study =>
      conclude(
        {
          ...request,
          observations: [
            ...(request.observations ?? []),
            { code, side, severity, certainty: nextLook.certainty, view },
          ],
        },
        book,
      );
    const seen = after(nextLook.severity);
    const notSeen = after(0);
    const before = c.findings.get(key);
    const lookDb =
      before === undefined && seen.status !== 'stop'
        ? (seen.findings.get(key)?.db ?? 0)
        : reports.certaintyDb.filmed[nextLook.certainty];
    const hit = 10 ** (lookDb / 10) / (1 + 10 ** (lookDb / 10));
    const there = believed(predicted(child, c.weighed.beliefs, c.weighed.inputs), before?.db ?? 0);
    const probability = 1 - hit + (2 * hit - 1) * there;
    const ifPresent = beliefs(seen);
    const ifAbsent = beliefs(notSeen);
    const bits = bitsOf(now) - probability * bitsOf(ifPresent) - (1 - probability) * bitsOf(ifAbsent);
    return {
      code,
      side,
      view,
      probability,
      bits: Math.max(0, bits),
      wouldChangeAdvice: adviceOf(seen) !== adviceOf(c) || adviceOf(notSeen) !== adviceOf(c),
      now,
      ifPresent,
      ifAbsent,
    };
  });
  const key = (look: Look): string => (look.side === 'body' ? look.code : `${look.code}@${look.side}`);
  looks.sort((a, b) => Math.round(b.bits * 1e9) - Math.round(a.bits * 1e9) || (key(a) < key(b) ? -1 : 1));
  const told: Look[] = [];
  for (const look of looks) if (!told.some((t) => t.code === look.code)) told.push(look);
  return told.slice(0, request.options?.nextLooks ?? 3);
}
