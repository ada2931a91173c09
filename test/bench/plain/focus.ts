/** What to work on first, at most two things. */
import type { Side } from '../../../src/contract/common.ts';
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import type { CauseEntry, PrincipleParams, Selector } from '../../../src/knowledge/parts.ts';
import { type Cause, probabilityOfNode, type Weighed } from './causes.ts';
import { type Facts, firing, type Words } from './conditions.ts';
import { type Findings, gradesApart, meanSeverity } from './findings.ts';
import type { Gate } from './gate.ts';
import { keyOf, type RuleBook } from './rule-book.ts';

export interface Focus {
  readonly cause: string;
  readonly side: Side | 'both';
  readonly priority: number;
  readonly probability: number;
  readonly because: readonly string[];
  readonly chosenBy: 'rules' | 'coach';
}

interface Candidate {
  readonly cause: string;
  readonly side: Side | 'both';
  readonly entry: CauseEntry;
  readonly probability: number;
  readonly ownSeverity: number;
  readonly shown: boolean;
  readonly place: number;
  priority: number;
  because: string[];
}

type EffectOf<E extends PrincipleParams['effect']> = Extract<PrincipleParams, { effect: E }>;

const STROKE_ORDER = [
  'breathing',
  'entry',
  'extension',
  'catch',
  'pull',
  'push',
  'exit',
  'recovery',
  'kick',
  'whole-stroke',
];

export function severityOf(explained: Cause['explains'], findings: Findings): number {
  return Math.max(1, ...explained.map((e) => meanSeverity(findings.get(keyOf(e.code, e.side)))));
}

function candidateOf(cause: Cause, findings: Findings, book: RuleBook): Candidate {
  const entry = book.causes.get(cause.code)!;
  const places = cause.explains
    .map((e) => STROKE_ORDER.indexOf(book.observations.get(e.code)?.phase ?? 'whole-stroke'))
    .filter((place) => place >= 0);
  const ease = book.parts.constants.focus.ease[entry.timeBand] ?? 0;
  const own = cause.explains.filter((e) => e.side === cause.side);
  return {
    cause: cause.code,
    side: cause.side,
    entry,
    probability: cause.probability,
    ownSeverity: severityOf(own, findings),
    shown: cause.explains.length > 0,
    place: Math.min(STROKE_ORDER.length, ...places),
    priority: cause.probability * severityOf(cause.explains, findings) * ease,
    because: [],
  };
}

/** Both arms with one habit are one thing to work on; a clearly worse arm may stand alone. */
function mergeSides(list: readonly Candidate[], worseSide: EffectOf<'worse-side'> | undefined): Candidate[] {
  const merged: Candidate[] = [];
  for (const c of list) {
    const other = list.find((o) => o.cause === c.cause && o.side !== c.side);
    if (other === undefined) merged.push(c);
    else if (worseSide !== undefined && gradesApart(c.ownSeverity, other.ownSeverity) > 0) {
      if (c.ownSeverity > other.ownSeverity) merged.push({ ...c, because: [worseSide.principle] });
    } else if (c.side !== 'right') {
      merged.push({ ...(c.priority >= other.priority ? c : other), side: 'both', because: [] });
    }
  }
  return merged;
}

function selects(select: Selector, c: Candidate, gate: Gate): boolean {
  if (select.causes !== undefined && !select.causes.includes(c.cause)) return false;
  if (select.causesOtherThan?.includes(c.cause)) return false;
  if (select.costs !== undefined && !select.costs.includes(c.entry.cost)) return false;
  if (select.scope !== undefined && c.entry.sided !== (select.scope === 'arm')) return false;
  if (select.timeBandsOtherThan?.includes(c.entry.timeBand)) return false;
  if (!select.onRestrictedArm) return true;
  const sore = gate.restrictions.some(
    (r) => r.bodyPart === 'shoulder' && (r.side === c.side || c.side === 'both'),
  );
  return sore && c.entry.sided && c.entry.timeBand !== 'clinician-first';
}

/** A driver steps in front of what it drives. */
function driversFirst(list: Candidate[], effect: EffectOf<'driver-first'>, book: RuleBook): void {
  const strength = (word: string): number => book.parts.constants.words.shows[word] ?? 0;
  const drives = (a: Candidate, b: Candidate): boolean => {
    const edge = book.parts.drivers.find((d) => d.driver === a.cause && d.driven === b.cause);
    if (edge === undefined || !a.shown) return false;
    if (strength(edge.shows) >= strength(effect.strongShows)) return true;
    return strength(edge.shows) >= strength(effect.weakShows) && a.probability >= b.probability;
  };
  const before = list.slice();
  for (const driver of before) {
    const from = list.indexOf(driver);
    const to = list.findIndex((c) => drives(driver, c));
    if (to < 0 || to > from) continue;
    driver.because.push(effect.principle);
    list.splice(from, 1);
    list.splice(to, 0, driver);
  }
}

/** Swaps neighbours whose priorities are close. */
function closeCalls(
  list: Candidate[],
  effect: EffectOf<'shorter-time' | 'front-to-back'>,
  better: (a: Candidate, b: Candidate) => boolean,
): void {
  for (let i = 1; i < list.length; i++) {
    const [above, below] = [list[i - 1]!, list[i]!];
    if (below.priority < above.priority * (1 - effect.within) || !better(below, above)) continue;
    below.because.push(effect.principle);
    list[i - 1] = below;
    list[i] = above;
  }
}

export interface Plan {
  readonly focus: readonly Focus[];
  readonly maxDrills: number;
}

export function chooseFocus(
  facts: Facts,
  causes: readonly Cause[],
  findings: Findings,
  weighed: Weighed,
  gate: Gate,
  request: AssessmentRequest,
  words: Words,
  book: RuleBook,
): Plan {
  const fired = firing(book.principles, facts, words).map((rule) => rule.event.params);
  const cancelled = fired.filter((e) => e.effect === 'cancel').map((e) => e.principle);
  const effects = fired.filter((e) => !cancelled.includes(e.principle));
  const of = <E extends PrincipleParams['effect']>(effect: E): EffectOf<E>[] =>
    effects.filter((e) => e.effect === effect) as EffectOf<E>[];
  const { candidateFrom, ease } = book.parts.constants.focus;
  const bands = Object.keys(ease);

  const open = causes.filter(
    (c) => !c.rejected && c.probability >= candidateFrom && book.causes.get(c.code)?.role === 'root',
  );
  let list = mergeSides(
    open.map((c) => candidateOf(c, findings, book)),
    of('worse-side')[0],
  ).filter((c) => c.priority > 0);
  for (const e of of('exclude')) list = list.filter((c) => !selects(e.select, c, gate));
  for (const e of of('weigh')) {
    for (const c of list) {
      if (!selects(e.select, c, gate)) continue;
      c.priority *= e.factor;
      if (e.factor > 1) c.because.push(e.principle);
    }
  }
  list.sort(
    (a, b) =>
      b.priority - a.priority || (keyOf(a.cause, a.side as Side) < keyOf(b.cause, b.side as Side) ? -1 : 1),
  );
  for (const e of of('shorter-time')) {
    closeCalls(list, e, (a, b) => bands.indexOf(a.entry.timeBand) < bands.indexOf(b.entry.timeBand));
  }
  for (const e of of('front-to-back')) {
    closeCalls(list, e, (a, b) => a.entry.sided && b.entry.sided && a.place < b.place);
  }
  for (const e of of('driver-first')) driversFirst(list, e, book);
  const likely = words.get('likely') ?? 1;
  for (const e of of('lead').sort((a, b) => b.rank - a.rank)) {
    const first = list.findIndex((c) => selects(e.select, c, gate) && c.probability >= likely);
    if (first < 0) continue;
    const [chosen] = list.splice(first, 1) as [Candidate];
    chosen.because.push(e.principle);
    list.unshift(chosen);
  }
  const atMost = of('at-most');
  const most = Math.min(2, ...atMost.map((e) => e.focus));
  let focus = list.slice(0, most).map((c): Focus => {
    const because =
      c.because.length > 0 ? [...new Set(c.because)] : atMost.slice(0, 1).map((e) => e.principle);
    const { cause, side, priority, probability } = c;
    return { cause, side, priority, probability, because, chosenBy: 'rules' };
  });
  if (request.coach?.focus !== undefined) {
    focus = request.coach.focus.map(({ cause, side: given }): Focus => {
      const side = given ?? (book.causes.get(cause)?.sided ? 'both' : 'body');
      const nodes = weighed.network.nodes.filter(
        (n) => n.code === cause && (side === 'both' || n.side === side),
      );
      const probability = Math.max(...nodes.map((n) => probabilityOfNode(n, weighed, book)));
      return { cause, side, priority: 0, probability, because: ['coach-choice'], chosenBy: 'coach' };
    });
  }
  for (const { cause, side } of focus) {
    const sides: Side[] = side === 'both' ? ['left', 'right'] : [side];
    for (const s of sides) facts.set(`focus:${keyOf(cause, s)}`, true);
  }
  return { focus, maxDrills: Math.min(10, ...atMost.flatMap((e) => e.drills ?? [])) };
}
