/** For each focus the drills to begin with, the drills that take over from them, and the one to change to. */
import { describeDrill, type Pick, pickDrills, type Stake, stakesOf } from '../assess/drills.ts';
import type { Drill, Focus } from '../contract/answer.ts';
import type { PlanFocus } from '../contract/plan.ts';
import type { DrillEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Work } from './work.ts';

export interface Ladder {
  readonly focus: Focus;
  /** The drills after no, one and two steps of progression. */
  readonly rungs: readonly (readonly Drill[])[];
  readonly cue: string | null;
  readonly reserve: Drill | null;
}

const onLand = (drill: { code: string }, ruleSet: RuleSet): boolean =>
  ruleSet.drills.get(drill.code)?.tags.includes('land') ?? false;

/** Values of this focus alone, so that its own drills are weighed for it. */
function stakesIn(focus: Focus, { concluded: c, ruleSet }: Work): Stake[] {
  return stakesOf(c.listed.causes, c.focus, c.findings, ruleSet).filter(
    (s) => s.cause === focus.cause && (focus.side === 'both' || focus.side === s.side),
  );
}

/** The best allowed drills for one focus. */
function pick(
  focus: Focus,
  most: number,
  fits: (drill: DrillEntry) => boolean,
  { choice, ruleSet }: Work,
  stakes: readonly Stake[],
): Pick[] {
  const open = ruleSet.parts.drills.filter(
    (d) =>
      choice.allowed.has(d.code) && fits(d) && d.targets.some((t) => t.cause === focus.cause && t.effect > 0),
  );
  return pickDrills(open, stakes, most, ruleSet.parts.constants.drills.effectShare);
}

/** The drill that follows, if it is allowed and serves the same cause. */
function nextStep(code: string, focus: Focus, { choice, ruleSet }: Work): DrillEntry | undefined {
  const next = ruleSet.drills.get(ruleSet.drills.get(code)?.progression ?? '');
  if (next === undefined || !choice.allowed.has(next.code)) return undefined;
  return next.targets.some((t) => t.cause === focus.cause && t.effect > 0) ? next : undefined;
}

/** Chosen drills that do most for this focus; where it has none of its own, those that help it too. */
function ownDrills(focus: Focus, { answer, choice }: Work): Drill[] {
  const share = (d: Drill, f: Focus): number =>
    Math.max(0, ...d.for.filter((x) => x.cause === f.cause).map((x) => x.share));
  const serving = choice.drills.filter((d) => share(d, focus) > 0);
  const own = serving.filter((d) => {
    const best = answer.focus.reduce((a, b) => (share(d, b) > share(d, a) ? b : a), focus);
    return best === focus && answer.focus.find((f) => share(d, f) === share(d, focus)) === focus;
  });
  return own.length > 0 ? own : serving;
}

/**
 * @param steps how many steps of progression the plan goes.
 * @param taken cues of other focuses: one thing to think of is said once.
 */
export function ladderOf(focus: Focus, steps: number, taken: readonly string[], work: Work): Ladder {
  const { choice, concluded, record, ruleSet } = work;
  const { drillsPerFocus } = ruleSet.parts.constants.plans;
  const stakes = stakesIn(focus, work);
  const restricted = concluded.gate.restrictions.length > 0;
  const show = (p: Pick): Drill => describeDrill(p, restricted, choice.allowed, record, ruleSet);
  const none = record.options.drills === 0;

  const chosen = ownDrills(focus, work).slice(0, drillsPerFocus);
  // a focus whose chosen drills are all on land, or that got none, needs something to do in the water
  const dry = !none && !chosen.some((d) => !onLand(d, ruleSet));
  const wet = dry ? pick(focus, 1, (d) => !onLand(d, ruleSet), work, stakes).map(show) : [];
  const first = [...chosen, ...wet];

  const rungs = [first];
  for (let step = 1; step <= steps; step++) {
    const below = rungs[step - 1] as readonly Drill[];
    const named = new Set(rungs.flat().map((d) => d.code));
    rungs.push(
      below.map((d) => {
        const next = nextStep(d.code, focus, work);
        if (next === undefined || named.has(next.code)) return d;
        named.add(next.code);
        const [solo] = pickDrills([next], stakes, 1, ruleSet.parts.constants.drills.effectShare);
        return solo === undefined ? d : show(solo);
      }),
    );
  }
  const used = new Set([...rungs.flat(), ...choice.drills].map((d) => d.code));
  const families = new Set(first.map((d) => ruleSet.drills.get(d.code)?.family));
  const others = none
    ? []
    : pick(
        focus,
        1,
        (d) => !used.has(d.code) && !families.has(d.family) && !onLand(d, ruleSet),
        work,
        stakes,
      );
  const cues = [...first.filter((d) => !onLand(d, ruleSet)), ...first].flatMap((d) => d.cues);
  const cue = cues.find((c) => !taken.includes(c)) ?? null;
  return { focus, rungs, cue, reserve: others.map(show)[0] ?? null };
}

export function planFocus(ladder: Ladder, ruleSet: RuleSet): PlanFocus {
  const { focus, rungs, cue, reserve } = ladder;
  const steps = rungs.slice(1).flatMap((rung, k) =>
    rung.flatMap((d, i) => {
      const from = (rungs[k] as readonly Drill[])[i] as Drill;
      return from.code === d.code ? [] : [{ from: from.code, to: d.code }];
    }),
  );
  return {
    ...focus,
    expect: ruleSet.texts.causes[focus.cause]?.change ?? '',
    cue,
    drills: (rungs[0] as readonly Drill[]).map((d) => d.code),
    steps,
    reserve: reserve?.code ?? null,
  };
}

/** Every drill that the plan names, once, in the order in which they come. */
export function drillsNamed(ladders: readonly Ladder[]): Drill[] {
  const all = ladders.flatMap((l) => [...l.rungs.flat(), ...(l.reserve === null ? [] : [l.reserve])]);
  return [...new Map(all.map((d) => [d.code, d])).values()];
}
