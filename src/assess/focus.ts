/**
 * Stage 6. What to work on first, at most two things. Priority is probability times cost times ease; the
 * principles that fired then weigh, exclude, reorder and cut. Each step is a small function over the candidates.
 */
import type { Focus } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { CauseEntry, PrincipleParams, Selector } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Listed, probabilityOfNode } from './causes.ts';
import { driversOf } from './drivers.ts';
import { setFact } from './facts.ts';
import { type Findings, gradesApart, keyOf, worstOf } from './findings.ts';
import type { Gate } from './health-gate.ts';
import type { Weighed } from './network/weigh.ts';
import { labelOfCause } from './phrases.ts';
import { type Flow, fire } from './pipeline.ts';
import type { CauseChoice, Record } from './record.ts';

export interface FocusPlan {
  readonly focus: readonly Focus[];
  /** Most drills that the principles allow. */
  readonly maxDrills: number;
  /** Land tests that should come before a fault is called a habit. */
  readonly asks: readonly string[];
  readonly principles: readonly string[];
}

interface Candidate {
  readonly cause: string;
  readonly side: Side | 'both';
  readonly entry: CauseEntry;
  readonly probability: number;
  /** Worst severity of what it explains, 1 to 3. */
  readonly severity: number;
  /** The same from findings on its own side only: what tells one arm from the other. */
  readonly ownSeverity: number;
  /** Speaks for itself: some present finding is its own, it is not only hinted at. */
  readonly shown: boolean;
  /** Place in the stroke of what it explains: smaller is earlier. */
  readonly place: number;
  priority: number;
  readonly because: string[];
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

function severityOf(cause: Listed, findings: Findings, side?: Side): number {
  const explained = cause.explains.filter((e) => side === undefined || e.side === side);
  return Math.max(1, worstOf(explained, findings));
}

function placeOf(cause: Listed, ruleSet: RuleSet): number {
  const places = cause.explains.map((e) =>
    STROKE_ORDER.indexOf(ruleSet.observations.get(e.code)?.phase ?? 'whole-stroke'),
  );
  return Math.min(STROKE_ORDER.length, ...places.filter((p) => p >= 0));
}

function single(cause: Listed, findings: Findings, ruleSet: RuleSet): Candidate {
  const entry = ruleSet.causes.get(cause.code) as CauseEntry;
  const severity = severityOf(cause, findings);
  const ease = ruleSet.parts.constants.focus.ease[entry.timeBand] ?? 0;
  return {
    cause: cause.code,
    side: cause.side,
    entry,
    probability: cause.probability,
    severity,
    ownSeverity: severityOf(cause, findings, cause.side),
    shown: cause.explains.length > 0,
    place: placeOf(cause, ruleSet),
    priority: cause.probability * severity * ease,
    because: [],
  };
}

/** Both arms with the same habit are one thing to work on; with `worseSide` a clearly worse arm stands alone. */
function mergeSides(
  candidates: readonly Candidate[],
  worseSide: EffectOf<'worse-side'> | undefined,
): Candidate[] {
  return candidates.flatMap((c) => {
    const other = candidates.find((o) => o.cause === c.cause && o.side !== c.side);
    if (other === undefined) return [c];
    if (worseSide !== undefined && gradesApart(c.ownSeverity, other.ownSeverity) > 0) {
      return c.ownSeverity > other.ownSeverity ? [{ ...c, because: [worseSide.principle] }] : [];
    }
    if (c.side === 'right') return [];
    const leading = c.priority >= other.priority ? c : other;
    return [{ ...leading, side: 'both' as const, because: [] }];
  });
}

function selects(select: Selector, c: Candidate, gate: Gate): boolean {
  if (select.causes !== undefined && !select.causes.includes(c.cause)) return false;
  if (select.causesOtherThan?.includes(c.cause)) return false;
  if (select.costs !== undefined && !select.costs.includes(c.entry.cost)) return false;
  if (select.scope !== undefined && c.entry.sided !== (select.scope === 'arm')) return false;
  if (select.timeBandsOtherThan?.includes(c.entry.timeBand)) return false;
  if (select.onRestrictedArm) {
    const sore = gate.restrictions.some(
      (r) => r.bodyPart === 'shoulder' && (r.side === c.side || c.side === 'both'),
    );
    if (!sore || !c.entry.sided || c.entry.timeBand === 'clinician-first') return false;
  }
  return true;
}

/**
 * A driver steps in front of what it drives, even where its own priority is lower: over a strong edge whenever it is
 * possible, over a weak one when it is at least as probable as what it drives. A driver that is only hinted at, with
 * no finding of its own, stays where it is.
 */
function driversFirst(order: Candidate[], effect: EffectOf<'driver-first'>, ruleSet: RuleSet): Candidate[] {
  const { shows } = ruleSet.parts.constants.words;
  const strengthOf = (word: string): number => shows[word] ?? 0;
  const drives = (a: Candidate, b: Candidate): boolean => {
    if (!a.shown) return false;
    const edge = driversOf(ruleSet).get(b.cause)?.get(a.cause);
    if (edge === undefined) return false;
    if (strengthOf(edge.shows) >= strengthOf(effect.strongShows)) return true;
    return strengthOf(edge.shows) >= strengthOf(effect.weakShows) && a.probability >= b.probability;
  };
  const result = [...order];
  for (const driver of order) {
    const from = result.indexOf(driver);
    const to = result.findIndex((c) => drives(driver, c));
    if (to < 0 || to > from) continue;
    driver.because.push(effect.principle);
    result.splice(from, 1);
    result.splice(to, 0, driver);
  }
  return result;
}

/** Swaps neighbours whose priorities are close when `better` says so. */
function closeCalls(
  order: Candidate[],
  within: number,
  principle: string,
  better: (a: Candidate, b: Candidate) => boolean,
): Candidate[] {
  const result = [...order];
  for (let i = 1; i < result.length; i++) {
    const above = result[i - 1] as Candidate;
    const below = result[i] as Candidate;
    if (below.priority < above.priority * (1 - within) || !better(below, above)) continue;
    below.because.push(principle);
    result[i - 1] = below;
    result[i] = above;
  }
  return result;
}

/** The first of the selected that is likely takes the first place; the lowest rank number has the last word. */
function lead(
  order: Candidate[],
  effects: readonly EffectOf<'lead'>[],
  gate: Gate,
  likely: number,
): Candidate[] {
  const result = [...order];
  for (const effect of [...effects].sort((a, b) => b.rank - a.rank)) {
    const first = result.findIndex((c) => selects(effect.select, c, gate) && c.probability >= likely);
    if (first < 0) continue;
    const [chosen] = result.splice(first, 1) as [Candidate];
    chosen.because.push(effect.principle);
    result.unshift(chosen);
  }
  return result;
}

function rulesFocus(
  candidates: Candidate[],
  effects: readonly PrincipleParams[],
  gate: Gate,
  ruleSet: RuleSet,
): Candidate[] {
  const of = <E extends PrincipleParams['effect']>(effect: E): EffectOf<E>[] =>
    effects.filter((e) => e.effect === effect) as EffectOf<E>[];
  const bands = Object.keys(ruleSet.parts.constants.focus.ease);

  let order = candidates.filter((c) => c.priority > 0);
  for (const e of of('exclude')) order = order.filter((c) => !selects(e.select, c, gate));
  for (const e of of('weigh')) {
    for (const c of order) {
      if (!selects(e.select, c, gate)) continue;
      c.priority *= e.factor;
      if (e.factor > 1) c.because.push(e.principle);
    }
  }
  order.sort(
    (a, b) =>
      b.priority - a.priority || (keyOf(a.cause, a.side as Side) < keyOf(b.cause, b.side as Side) ? -1 : 1),
  );
  for (const e of of('shorter-time')) {
    order = closeCalls(
      order,
      e.within,
      e.principle,
      (a, b) => bands.indexOf(a.entry.timeBand) < bands.indexOf(b.entry.timeBand),
    );
  }
  for (const e of of('front-to-back')) {
    order = closeCalls(
      order,
      e.within,
      e.principle,
      (a, b) => a.entry.sided && b.entry.sided && a.place < b.place,
    );
  }
  for (const e of of('driver-first')) order = driversFirst(order, e, ruleSet);
  order = lead(order, of('lead'), gate, ruleSet.words.get('likely') ?? 1);
  const most = Math.min(2, ...of('at-most').map((e) => e.focus));
  return order.slice(0, most);
}

function coachFocus(choices: readonly CauseChoice[], weighed: Weighed, ruleSet: RuleSet): Focus[] {
  return choices.map(({ cause, side }) => {
    const nodes = weighed.network.nodes
      .map((node, n) => ({ node, n }))
      .filter(({ node }) => node.code === cause && (side === 'both' || node.side === side));
    const probability = Math.max(...nodes.map(({ n }) => probabilityOfNode(n, weighed, ruleSet)));
    return {
      cause,
      label: labelOfCause(ruleSet, cause),
      side,
      priority: 0,
      probability,
      because: ['coach-choice'],
      chosenBy: 'coach',
    };
  });
}

export function* chooseFocus(
  slots: Slots,
  causes: readonly Listed[],
  findings: Findings,
  weighed: Weighed,
  gate: Gate,
  record: Record,
  ruleSet: RuleSet,
): Flow<FocusPlan> {
  const fired = (yield* fire(ruleSet.stages.principles, slots)).map((f) => f.params);
  const cancelled = new Set(fired.filter((e) => e.effect === 'cancel').map((e) => e.principle));
  const effects = fired.filter((e) => !cancelled.has(e.principle));
  const worseSide = effects.find((e) => e.effect === 'worse-side');

  const { candidateFrom } = ruleSet.parts.constants.focus;
  const open = causes.filter(
    (c) =>
      c.rejectedByCoach === undefined &&
      c.probability >= candidateFrom &&
      ruleSet.causes.get(c.code)?.role === 'root',
  );
  const candidates = mergeSides(
    open.map((c) => single(c, findings, ruleSet)),
    worseSide,
  );
  const chosen = rulesFocus(candidates, effects, gate, ruleSet).map(
    (c): Focus => ({
      cause: c.cause,
      label: labelOfCause(ruleSet, c.cause),
      side: c.side,
      priority: c.priority,
      probability: c.probability,
      // where no principle moved it, its own weight put it among the few
      because:
        c.because.length > 0
          ? [...new Set(c.because)]
          : effects
              .filter((e) => e.effect === 'at-most')
              .slice(0, 1)
              .map((e) => e.principle),
      chosenBy: 'rules',
    }),
  );
  const focus = record.coach.focus === null ? chosen : coachFocus(record.coach.focus, weighed, ruleSet);
  setFact(ruleSet, slots, 'focus-count', focus.length);
  for (const { cause, side } of focus) {
    const sides: Side[] = side === 'both' ? ['left', 'right'] : [side];
    for (const s of sides) setFact(ruleSet, slots, `focus:${keyOf(cause, s)}`, true);
  }
  return {
    focus,
    maxDrills: Math.min(
      10,
      ...effects.flatMap((e) => (e.effect === 'at-most' && e.drills !== undefined ? [e.drills] : [])),
    ),
    asks: effects.flatMap((e) => (e.effect === 'ask' ? [e.look] : [])),
    principles: [...new Set(effects.map((e) => e.principle))],
  };
}
