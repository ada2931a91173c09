/** What the rules say about a plan as a whole: its kind, how fast it may go, and what else must be said. */
import type { Raised } from '../assess/cautions.ts';
import { type Flow, fire } from '../assess/pipeline.ts';
import type { Because } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { Fired } from '../engine/stage.ts';
import type { PlanParams, PlanTemplate, PlanWeekEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

export type Stage = PlanWeekEntry['stage'];

export interface Frame {
  readonly kind: PlanTemplate['kind'];
  /** Of the distance swum now in the first week, and the most that a week may add. */
  readonly load: { readonly share: number; readonly step: number };
  /** Stages beyond this one become this one. */
  readonly highest: Stage | null;
  /** No speed is built and the main set is easy. */
  readonly gentle: boolean;
  /** Sessions without drills bring other strokes. */
  readonly varied: boolean;
  /** The consent to film is not on file. */
  readonly consentMissing: boolean;
  readonly race: { readonly weeksBefore: number } | null;
  readonly cautions: readonly Raised[];
  readonly because: readonly Because[];
}

type EffectOf<E extends PlanParams['effect']> = Extract<PlanParams, { effect: E }>;

/** The stages in the order of learning; the others have no place in it. */
const LEARNING: readonly Stage[] = ['acquire', 'consolidate', 'apply'];

export function lower(stage: Stage, highest: Stage | null): Stage {
  if (highest === null) return stage;
  return LEARNING.indexOf(stage) > LEARNING.indexOf(highest) ? highest : stage;
}

function combine(fired: readonly Fired<PlanParams>[], ruleSet: RuleSet): Frame {
  const reason = ({ rule }: Fired<PlanParams>): Because => ({
    code: rule.id,
    text: ruleSet.texts.plans.rules[rule.id] ?? '',
  });
  const effects = <E extends PlanParams['effect']>(effect: E): EffectOf<E>[] =>
    fired.flatMap(({ params }) => (params.effect === effect ? [params as EffectOf<E>] : []));
  const loads = effects('load');
  const highest = effects('highest-stage').map((e) => e.stage);
  return {
    // the first rule of the file has the last word: a clinician comes before everything
    kind: effects('kind')[0]?.kind ?? 'work',
    load: {
      share: Math.min(1, ...loads.map((e) => e.share)),
      step: Math.min(ruleSet.parts.constants.plans.loadStep, ...loads.map((e) => e.step)),
    },
    highest: LEARNING.find((s) => highest.includes(s)) ?? null,
    gentle: effects('gentle').length > 0,
    varied: effects('varied').length > 0,
    consentMissing: effects('film-consent').length > 0,
    race: effects('race')[0] ?? null,
    cautions: fired.flatMap((f) =>
      f.params.effect === 'caution' ? [{ code: f.params.caution, because: reason(f) }] : [],
    ),
    because: fired.map(reason),
  };
}

export function* frameOf(slots: Slots, ruleSet: RuleSet): Flow<Frame> {
  return combine(yield* fire(ruleSet.stages.plan, slots), ruleSet);
}
