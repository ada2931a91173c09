/** The set of drills with the largest expected benefit, in the order to do them in. */
import type { Side } from '../../../src/contract/common.ts';
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import type { DrillEntry } from '../../../src/knowledge/parts.ts';
import type { Cause } from './causes.ts';
import { type Facts, firing, type Words } from './conditions.ts';
import type { Findings } from './findings.ts';
import { type Focus, type Plan, severityOf } from './focus.ts';
import type { RuleBook } from './rule-book.ts';

interface Stake {
  readonly cause: string;
  readonly side: Side;
  readonly value: number;
}

export interface Drill {
  readonly code: string;
  readonly gain: number;
  readonly for: readonly { readonly cause: string; readonly side: Side; readonly share: number }[];
}

export interface Excluded {
  readonly code: string;
  readonly reason: string;
  readonly rule: string;
}

function stakesOf(
  causes: readonly Cause[],
  focus: readonly Focus[],
  findings: Findings,
  book: RuleBook,
): Stake[] {
  const { drills: c, focus: f } = book.parts.constants;
  const resisting = causes.filter((x) => x.cost !== 'propulsion').map((x) => x.probability);
  const gate = 1 - c.propulsionGate * Math.max(0, ...resisting);
  const stakes = causes.map((cause): Stake => {
    const { code, side, probability, cost, rejected } = cause;
    const chosen = focus.find((x) => x.cause === code && (x.side === 'both' || x.side === side));
    const ease = chosen?.chosenBy === 'coach' ? 1 : (f.ease[book.causes.get(code)!.timeBand] ?? 0);
    const weight = chosen === undefined ? c.otherCauseWeight : 1;
    const waits = chosen === undefined && cost === 'propulsion' ? gate : 1;
    const worth = probability * severityOf(cause.explains, findings) * ease * weight * waits;
    return { cause: code, side, value: rejected && chosen === undefined ? 0 : worth };
  });
  for (const { cause, side, chosenBy } of focus) {
    if (chosenBy !== 'coach') continue;
    const sides: Side[] = side === 'both' ? ['left', 'right'] : [side];
    for (const s of sides) {
      if (!stakes.some((x) => x.cause === cause && x.side === s)) stakes.push({ cause, side: s, value: 1 });
    }
  }
  return stakes;
}

/** Greedy choice, one drill a family. */
function pick(pool: readonly DrillEntry[], stakes: readonly Stake[], k: number, book: RuleBook): Drill[] {
  const { effectShare } = book.parts.constants.drills;
  const left = stakes.map((stake) => stake.value);
  const shareOf = (drill: DrillEntry, { cause }: Stake): number => {
    const target = drill.targets.find((t) => t.cause === cause);
    return target === undefined ? 0 : (effectShare[target.effect] ?? 0);
  };
  const picks: Drill[] = [];
  const families = new Set<string>();
  while (picks.length < k) {
    let best: DrillEntry | undefined;
    let bestGain = 0;
    for (const drill of pool) {
      if (families.has(drill.family)) continue;
      let gain = 0;
      stakes.forEach((stake, i) => {
        gain += left[i]! * shareOf(drill, stake);
      });
      if (gain > bestGain + 1e-12) [best, bestGain] = [drill, gain];
    }
    if (best === undefined) break;
    const chosen = best;
    families.add(chosen.family);
    const shares = stakes
      .map(({ cause, side, value }) => ({
        cause,
        side,
        value,
        share: shareOf(chosen, { cause, side, value }),
      }))
      .filter((s) => s.share > 0 && s.value > 0)
      .map(({ cause, side, share }) => ({ cause, side, share }));
    picks.push({ code: chosen.code, gain: bestGain, for: shares });
    stakes.forEach((stake, i) => {
      left[i] = left[i]! * (1 - shareOf(chosen, stake));
    });
  }
  return picks;
}

/** Prerequisites first; otherwise propulsion last, then the larger gain. */
function inOrder(picks: readonly Drill[], book: RuleBook): Drill[] {
  const stage = (d: Drill): number =>
    d.for.some((s) => book.causes.get(s.cause)?.cost !== 'propulsion') ? 1 : 2;
  const waiting = [...picks].sort(
    (a, b) => stage(a) - stage(b) || b.gain - a.gain || (a.code < b.code ? -1 : 1),
  );
  const chosen = picks.map((d) => d.code);
  const done: Drill[] = [];
  while (waiting.length > 0) {
    const ready = waiting.findIndex((d) =>
      book.drills
        .get(d.code)!
        .prerequisites.every((code) => !chosen.includes(code) || done.some((x) => x.code === code)),
    );
    done.push(...waiting.splice(Math.max(0, ready), 1));
  }
  return done;
}

/** Most drills that the longest session that fits has room for. */
function roomFor(request: AssessmentRequest, book: RuleBook): number {
  const minutes = request.options?.sessionMinutes ?? 45;
  const templates = book.parts.sessions
    .filter((s) => s.level === request.swimmer.level)
    .sort((a, b) => a.minutes - b.minutes);
  return (templates.filter((s) => s.minutes <= minutes).at(-1) ?? templates[0])!.maxDrills;
}

export function chooseDrills(
  facts: Facts,
  causes: readonly Cause[],
  plan: Plan,
  findings: Findings,
  request: AssessmentRequest,
  words: Words,
  book: RuleBook,
): { drills: Drill[]; excluded: Excluded[] } {
  const excluded = new Map<string, Excluded>();
  for (const { id, event } of firing(book.exclusions, facts, words)) {
    const { drill, reason } = event.params;
    if (!excluded.has(drill)) excluded.set(drill, { code: drill, reason, rule: id });
  }
  const serving = book.parts.drills
    .filter((d) => !excluded.has(d.code))
    .filter((d) => d.targets.some((t) => t.effect > 0 && plan.focus.some((f) => f.cause === t.cause)))
    .sort((a, b) => (a.code < b.code ? -1 : 1));
  const most = Math.min(request.options?.drills ?? 4, plan.maxDrills, roomFor(request, book));
  const stakes = stakesOf(causes, plan.focus, findings, book);
  const picks = pick(serving, stakes, plan.focus.length === 0 ? 0 : most, book);
  return {
    drills: inOrder(picks, book),
    excluded: [...excluded.values()].sort((a, b) => (a.code < b.code ? -1 : 1)),
  };
}
