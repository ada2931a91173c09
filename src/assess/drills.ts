/**
 * Stage 7. Drills: hard filters first, then the set with the largest expected benefit, then the order to do them in.
 *
 * A drill's worth is what it can take away of each cause: F(S) = sum over causes of V * (1 - product over S of
 * (1 - x)). The greedy choice adds the drill with the largest gain, one a family; the gains add up to F.
 */
import type { Drill, ExcludedDrill, Focus } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { CauseEntry, DrillEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Listed } from './causes.ts';
import { doseFor } from './dose.ts';
import { type Findings, worstOf } from './findings.ts';
import type { Gate } from './health-gate.ts';
import { phrase } from './phrases.ts';
import { type Flow, fire } from './pipeline.ts';
import type { Record } from './record.ts';
import { remembered } from './remembered.ts';

export interface DrillChoice {
  readonly drills: readonly Drill[];
  readonly excluded: readonly ExcludedDrill[];
  readonly allowed: ReadonlySet<string>;
}

/** One cause on one side, and what is at stake in it. */
export interface Stake {
  readonly cause: string;
  readonly side: Side;
  readonly value: number;
}

export interface Pick {
  readonly drill: DrillEntry;
  readonly gain: number;
  /** Share of each stake that this drill takes from what the earlier ones left. */
  readonly shares: readonly { readonly stake: Stake; readonly share: number }[];
}

function inFocus(focus: readonly Focus[], cause: string, side: Side): Focus | undefined {
  return focus.find((f) => f.cause === cause && (f.side === 'both' || f.side === side));
}

/** V = probability x severity x ease x focus weight x gate; propulsion waits while resistance is likely. */
export function stakesOf(
  causes: readonly Listed[],
  focus: readonly Focus[],
  findings: Findings,
  ruleSet: RuleSet,
): Stake[] {
  const { drills: c, focus: f } = ruleSet.parts.constants;
  const first = causes.filter((cause) => cause.cost !== 'propulsion').map((cause) => cause.probability);
  const gate = 1 - c.propulsionGate * Math.max(0, ...first);
  const stakes = causes.map((cause): Stake => {
    const entry = ruleSet.causes.get(cause.code) as CauseEntry;
    const chosen = inFocus(focus, cause.code, cause.side);
    const severity = Math.max(1, worstOf(cause.explains, findings));
    const ease = chosen?.chosenBy === 'coach' ? 1 : (f.ease[entry.timeBand] ?? 0);
    const weight = chosen === undefined ? c.otherCauseWeight : 1;
    const waits = chosen === undefined && cause.cost === 'propulsion' ? gate : 1;
    const rejected = cause.rejectedByCoach !== undefined && chosen === undefined;
    return {
      cause: cause.code,
      side: cause.side,
      value: rejected ? 0 : cause.probability * severity * ease * weight * waits,
    };
  });
  // a coach's focus that the evidence does not list still deserves drills
  const unlisted = focus
    .filter((x) => x.chosenBy === 'coach')
    .flatMap((x) =>
      (x.side === 'both' ? (['left', 'right'] as const) : [x.side]).map((side) => ({ cause: x.cause, side })),
    )
    .filter((x) => !stakes.some((s) => s.cause === x.cause && s.side === x.side))
    .map((x): Stake => ({ ...x, value: 1 }));
  return [...stakes, ...unlisted];
}

/** Effect of a drill by the cause that it works on. */
const effectsOf = remembered(
  (drill: DrillEntry): ReadonlyMap<string, number> => new Map(drill.targets.map((t) => [t.cause, t.effect])),
);

/**
 * Greedy choice of at most `k` drills, one a family.
 *
 * @param effectShare share of a cause that a drill of effect 0 to 3 can remove.
 * @returns picks in the order of choice; their gains add up to the worth of the set. For one-a-family the greedy
 * choice reaches at least half of the best set, in practice nearly all of it (Nemhauser, Wolsey and Fisher 1978).
 */
export function pickDrills(
  drills: readonly DrillEntry[],
  stakes: readonly Stake[],
  k: number,
  effectShare: readonly number[],
): Pick[] {
  const left = stakes.map((s) => s.value);
  const picks: Pick[] = [];
  const pool = [...drills]
    .sort((a, b) => (a.code < b.code ? -1 : 1))
    .map((drill) => {
      const effects = effectsOf(drill);
      return { drill, shares: stakes.map(({ cause }) => effectShare[effects.get(cause) ?? -1] ?? 0) };
    });
  const gainOf = (shares: readonly number[]): number =>
    shares.reduce((sum, share, i) => sum + (left[i] as number) * share, 0);
  const families = new Set<string>();
  while (picks.length < k) {
    let best: (typeof pool)[number] | undefined;
    let bestGain = 0;
    for (const candidate of pool) {
      if (families.has(candidate.drill.family)) continue;
      const gain = gainOf(candidate.shares);
      if (gain > bestGain + 1e-12) [best, bestGain] = [candidate, gain];
    }
    if (best === undefined) break;
    const { drill, shares } = best;
    families.add(drill.family);
    picks.push({
      drill,
      gain: bestGain,
      shares: stakes
        .map((stake, i) => ({ stake, share: shares[i] as number }))
        .filter((s) => s.share > 0 && s.stake.value > 0),
    });
    shares.forEach((share, i) => {
      left[i] = (left[i] as number) * (1 - share);
    });
  }
  return picks;
}

/** Prerequisites first; otherwise comfort, balance and resistance before propulsion, then the larger gain. */
export function inOrder(picks: readonly Pick[], ruleSet: RuleSet): Pick[] {
  const stage = (pick: Pick): number =>
    pick.shares.some((s) => ruleSet.causes.get(s.stake.cause)?.cost !== 'propulsion') ? 1 : 2;
  const waiting = [...picks].sort(
    (a, b) => stage(a) - stage(b) || b.gain - a.gain || (a.drill.code < b.drill.code ? -1 : 1),
  );
  const chosen = new Set(picks.map((p) => p.drill.code));
  const done: Pick[] = [];
  while (waiting.length > 0) {
    const ready = waiting.findIndex((p) =>
      p.drill.prerequisites.every((c) => !chosen.has(c) || done.some((d) => d.drill.code === c)),
    );
    done.push(...waiting.splice(Math.max(0, ready), 1));
  }
  return done;
}

/** A chosen drill is practised fresh, right after the warm-up, unless it belongs on land or into a later block. */
function slotOf(drill: DrillEntry): string {
  const early = drill.slots.some((slot) => slot === 'technique' || slot === 'warm-up');
  return early ? 'technique' : (drill.slots[0] as string);
}

/** The step to an easier or a harder drill, unless that drill is ruled out. */
function stepFrom(
  drill: DrillEntry,
  step: 'progression' | 'regression',
  allowed: ReadonlySet<string>,
  ruleSet: RuleSet,
): string {
  const code = drill[step];
  if (code !== undefined && !allowed.has(code)) return phrase(ruleSet, 'step-ruled-out');
  return ruleSet.texts.drills[drill.code]?.[step] ?? '';
}

/** A drill as the answer shows it. */
export function describeDrill(
  { drill, gain, shares }: Pick,
  restricted: boolean,
  allowed: ReadonlySet<string>,
  record: Record,
  ruleSet: RuleSet,
): Drill {
  const text = ruleSet.texts.drills[drill.code] as RuleSet['texts']['drills'][string];
  return {
    code: drill.code,
    name: text.name,
    purpose: text.purpose,
    gain,
    for: shares.map(({ stake, share }) => ({
      cause: stake.cause,
      side: stake.side,
      share,
      text: text.targets[stake.cause] ?? '',
    })),
    phases: drill.phases,
    loads: drill.loads,
    equipment: drill.needsAnyOf,
    steps: text.steps,
    cues: text.cues,
    selfCheck: text.selfCheck,
    commonErrors: text.commonErrors,
    dose: doseFor(drill.code, restricted, record, ruleSet),
    perWeek: text.perWeek,
    progression: stepFrom(drill, 'progression', allowed, ruleSet),
    regression: stepFrom(drill, 'regression', allowed, ruleSet),
    cautions: drill.cautions,
    slot: slotOf(drill),
  };
}

/** What each exclusion says when it fires, by the place of its rule: it is the same for every record. */
const exclusions = remembered((ruleSet: RuleSet) =>
  ruleSet.stages.exclusions.rules.map(({ id, event: { params } }): ExcludedDrill => {
    const template = id.split('--')[0] as string;
    return {
      code: params.drill,
      name: ruleSet.texts.drills[params.drill]?.name ?? params.drill,
      reason: params.reason,
      rule: id,
      text: ruleSet.texts.exclusions[template] ?? '',
    };
  }),
);

/** @returns every drill that a rule takes out, by its code, with the first reason of the file. */
export function* excludeDrills(slots: Slots, ruleSet: RuleSet): Flow<ReadonlyMap<string, ExcludedDrill>> {
  const fired = yield* fire(ruleSet.stages.exclusions, slots);
  const entries = exclusions(ruleSet);
  const excluded = new Map<string, ExcludedDrill>();
  for (const { place, params } of fired) {
    if (!excluded.has(params.drill)) excluded.set(params.drill, entries[place] as ExcludedDrill);
  }
  return excluded;
}

export function* chooseDrills(
  slots: Slots,
  causes: readonly Listed[],
  focus: readonly Focus[],
  maxDrills: number,
  gate: Gate,
  findings: Findings,
  record: Record,
  ruleSet: RuleSet,
): Flow<DrillChoice> {
  const excluded = yield* excludeDrills(slots, ruleSet);
  const open = ruleSet.parts.drills.filter((d) => !excluded.has(d.code));
  const allowed = new Set(open.map((d) => d.code));
  // with nothing to work on, no corrective drill
  const k = focus.length === 0 ? 0 : Math.min(record.options.drills, maxDrills);
  const { effectShare } = ruleSet.parts.constants.drills;
  // one or two things at a time: a drill must serve the focus, whatever else it also helps
  const serving = open.filter((d) =>
    d.targets.some((t) => t.effect > 0 && focus.some((f) => f.cause === t.cause)),
  );
  const picks = pickDrills(serving, stakesOf(causes, focus, findings, ruleSet), k, effectShare);
  return {
    drills: inOrder(picks, ruleSet).map((pick) =>
      describeDrill(pick, gate.restrictions.length > 0, allowed, record, ruleSet),
    ),
    excluded: [...excluded.values()].sort((a, b) => (a.code < b.code ? -1 : 1)),
    allowed,
  };
}
