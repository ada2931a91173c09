/** POST /v1/plans: an assessment request, how often and for how long; a plan by week and session comes back. */
import { z } from 'zod';
import { Drill, ExcludedDrill, Focus, NextLook, Restriction, Session, StopAnswer } from './answer.ts';
import { Because, Side } from './common.ts';
import { PLAN_KINDS, PLAN_OUTCOMES, PLAN_STAGES, PLAN_WEEKS } from './plan-words.ts';
import { AssessmentRequest } from './request.ts';

export const PlanWeeks = z.literal(PLAN_WEEKS);
export const SessionsPerWeek = z.int().min(1).max(14);

export const PlanRequest = AssessmentRequest.extend({
  sessionsPerWeek: SessionsPerWeek.describe('Sessions in the water that the swimmer can come to.'),
  weeks: PlanWeeks,
}).meta({
  id: 'PlanRequest',
  description:
    'An assessment request with the time there is. options.sessionMinutes is the length of one session.',
});

const anySide = z.enum(['body', 'left', 'right', 'both']);
const CauseRef = z.object({ cause: z.string(), side: anySide });
const Span = z.object({ least: z.number(), most: z.number() });

const PlanFocus = Focus.extend({
  expect: z.string().describe('How long this kind of change takes, in words.'),
  cue: z
    .string()
    .nullable()
    .describe('What to think of. null: no drill for it is allowed, so there is no cue.'),
  drills: z.array(z.string()).describe('Its drills of the first step.'),
  steps: z
    .array(z.object({ from: z.string(), to: z.string() }))
    .describe('Which drill takes over from which, once the self-check is met.'),
  reserve: z.string().nullable().describe('The drill to change to. null: no other one is allowed.'),
}).meta({ id: 'PlanFocus' });

const PlanSession = z
  .object({
    numbers: z
      .array(z.int())
      .describe('Which sessions of the week; sessions that are alike stand here once.'),
    kind: z.enum(['drills', 'swim', 'film']),
    label: z.string(),
    session: Session,
  })
  .meta({ id: 'PlanSession' });

const DrillDose = z
  .object({
    drill: z.string(),
    name: z.string(),
    parts: z
      .array(z.object({ sessions: z.int(), repeats: z.int().nullable(), minutes: z.int().nullable() }))
      .describe('So many sessions with so much of it; the sums below add them up.'),
    repeats: z.int().nullable().describe('Sum of sessions x repeats. null: the dose is not a number.'),
    minutes: z.int().nullable().describe('Sum of sessions x minutes, with the swimming that belongs to it.'),
    text: z.string(),
  })
  .meta({ id: 'DrillDose' });

const WeekLoad = z
  .object({
    share: z.number().describe('Share of the usual distance of a week.'),
    guide: Span.nullable().describe('Metres of all sessions of the week as they are written.'),
    most: z.number().nullable().describe('Metres not to exceed. null: the distance swum now is not known.'),
    text: z.string(),
  })
  .meta({ id: 'WeekLoad' });

const PlanWeek = z
  .object({
    week: z.int(),
    stage: z.enum(PLAN_STAGES),
    label: z.string(),
    aim: z.string(),
    how: z.string(),
    check: z.string(),
    ifNot: z.string(),
    focus: z.array(CauseRef.extend({ role: z.enum(['drill', 'warm-up', 'cue', 'none']), text: z.string() })),
    sessions: z.array(PlanSession),
    onLand: z
      .array(z.object({ drill: z.string(), name: z.string(), times: Span, text: z.string() }))
      .describe('Beside the sessions: on the poolside or at home.'),
    dose: z.array(DrillDose),
    minutes: z.object({
      total: z.int(),
      drills: z.int(),
      slots: z.array(z.object({ slot: z.string(), label: z.string(), minutes: z.int() })),
      text: z.string(),
    }),
    load: WeekLoad,
  })
  .meta({ id: 'PlanWeek' });

const Sign = z
  .object({
    kind: z.enum(['finding', 'measurement']),
    code: z.string(),
    label: z.string(),
    side: Side,
    views: z.array(z.string()),
    unit: z.string().nullable(),
    now: z.number().nullable().describe('Severity or value in this record. null: not looked at yet.'),
    smallestBelievable: z.number().nullable(),
    progress: z
      .object({ atMost: z.number().optional(), atLeast: z.number().optional() })
      .nullable()
      .describe(
        'What counts as progress. null: nobody knows how large a change must be, or no way is better.',
      ),
    text: z.string(),
  })
  .meta({ id: 'Sign', description: 'A sign of a focus cause, and the smallest change in it to believe.' });

const CheckCondition = z.object({
  fact: z.string(),
  operator: z.enum(['is', 'atLeast', 'above', 'atMost', 'below']),
  value: z.union([z.boolean(), z.number()]),
});
const Decision = z
  .object({
    code: z.string(),
    outcome: z.enum(PLAN_OUTCOMES),
    when: z.union([z.object({ all: z.array(CheckCondition) }), z.object({ any: z.array(CheckCondition) })]),
    text: z.string(),
  })
  .meta({
    id: 'PlanDecision',
    description: 'The first decision of the list whose conditions hold is the one.',
  });

const Exchange = CauseRef.extend({
  sessions: z.int().describe('Drill sessions for this focus until then, when none is missed.'),
  signs: z.array(Sign),
  drill: z.object({ code: z.string(), name: z.string() }).nullable(),
  alternative: z
    .object({ cause: z.string(), label: z.string(), side: anySide, probability: z.number() })
    .nullable()
    .describe('The cause to think of next when this one is in doubt.'),
  look: z
    .object({ code: z.string(), label: z.string(), side: Side, view: z.string() })
    .nullable()
    .describe('The look that would settle most.'),
  text: z.string(),
});

const Checkpoint = z
  .object({
    week: z.int().describe('At the end of this week; 0 is before the first session.'),
    session: z.int().nullable().describe('The session of the week that holds it. null: before the plan.'),
    film: z.enum(['none', 'half', 'full']),
    views: z.array(z.string()),
    text: z.string(),
    setUp: z.array(z.object({ code: z.string(), value: z.string().nullable(), text: z.string() })),
    looks: z.array(z.string()).describe('What to look at besides, in words.'),
    focus: z.array(Exchange),
    decisions: z.array(Decision),
  })
  .meta({ id: 'Checkpoint' });

export const Plan = z
  .object({
    template: z.string(),
    kind: z.enum(PLAN_KINDS),
    title: z.string(),
    summary: z.string(),
    asked: z.object({ weeks: PlanWeeks, sessionsPerWeek: z.int(), sessionMinutes: z.int() }),
    because: z.array(Because).describe('The rules that shaped the plan.'),
    focus: z.array(PlanFocus),
    weeks: z.array(PlanWeek),
    checkpoints: z.array(Checkpoint),
    totals: z.object({ sessions: z.int(), minutes: z.int(), drillMinutes: z.int(), text: z.string() }),
  })
  .meta({ id: 'Plan' });

const AssessmentId = {
  assessmentId: z.string().describe('The decisionId that the assessment of the same record has.'),
};

/** A stop holds cautions and nothing else: there is no plan. */
export const StopPlanAnswer = StopAnswer.extend(AssessmentId).meta({
  id: 'StopPlanAnswer',
  description: 'A health sign stops everything: there is no plan, only the cautions.',
});

export const FullPlanAnswer = z
  .object({
    ...StopPlanAnswer.shape,
    status: z.enum(['refer', 'ask-more', 'ok']),
    restrictions: z.array(Restriction),
    plan: Plan,
    drills: z.array(Drill).describe('Every drill that the plan names, in full.'),
    excludedDrills: z.array(ExcludedDrill),
    nextLooks: z.array(NextLook),
  })
  .meta({ id: 'FullPlanAnswer' });

export const PlanAnswer = z
  .discriminatedUnion('status', [StopPlanAnswer, FullPlanAnswer])
  .meta({ id: 'PlanAnswer' });

export type PlanRequest = z.infer<typeof PlanRequest>;
export type PlanAnswer = z.infer<typeof PlanAnswer>;
export type FullPlanAnswer = z.infer<typeof FullPlanAnswer>;
export type Plan = z.infer<typeof Plan>;
export type PlanFocus = z.infer<typeof PlanFocus>;
export type PlanWeek = z.infer<typeof PlanWeek>;
export type PlanSession = z.infer<typeof PlanSession>;
export type DrillDose = z.infer<typeof DrillDose>;
export type WeekLoad = z.infer<typeof WeekLoad>;
export type Sign = z.infer<typeof Sign>;
export type Checkpoint = z.infer<typeof Checkpoint>;
export type Exchange = z.infer<typeof Exchange>;
export type Decision = z.infer<typeof Decision>;
