/** Plans of some weeks: what each week is for, when to film again, and what to decide then. */
import { z } from 'zod';
import { Code } from '../../contract/common.ts';
import { PLAN_KINDS, PLAN_OUTCOMES, PLAN_STAGES, PLAN_WEEKS } from '../../contract/plan-words.ts';
import { ruleOf } from './rules.ts';
import { Mark, Share } from './shared.ts';

/** How a focus takes part in a week: with its drills, with one drill in the warm-up, as a cue to keep in mind, or not. */
export const ROLES = ['drill', 'warm-up', 'cue', 'none'] as const;
/** Looks that belong to a checkpoint besides the film. */
export const CHECKS = ['count-drift', 'land-test', 'goal-test'] as const;
/** What is filmed at a checkpoint: nothing, the views of the focus, everything. */
export const FILMS = ['none', 'half', 'full'] as const;
const Stage = z.enum(PLAN_STAGES);
const Role = z.enum(ROLES);

const Week = z.strictObject({
  week: z.int().min(1).max(8),
  stage: Stage,
  first: Role,
  second: Role,
  alone: z.strictObject({ stage: Stage, role: Role }).describe('What holds where there is one focus only.'),
  volume: Share.describe('Share of the usual distance of a week.'),
});
const Checkpoint = z.strictObject({
  week: z.int().min(1).max(8),
  film: z.enum(FILMS),
  looksAt: z.array(z.enum(['first', 'second'])),
  checks: z.array(z.enum(CHECKS)),
});

export const PlanTemplate = z
  .strictObject({
    code: Code,
    kind: z.enum(PLAN_KINDS),
    weeks: z.union(PLAN_WEEKS.map((w) => z.literal(w))),
    timetable: z.array(Week),
    checkpoints: z.array(Checkpoint).min(1),
    mark: Mark,
  })
  .refine(
    (p) => p.timetable.length === p.weeks && p.timetable.every((w, i) => w.week === i + 1),
    'the timetable must hold every week once, in order',
  )
  .refine(
    (p) => p.checkpoints.every((c, i) => c.week <= p.weeks && c.week > (p.checkpoints[i - 1]?.week ?? 0)),
    'checkpoints must follow each other inside the plan',
  );

/** What is known at a checkpoint. */
export const CHECK_FACTS = [
  'pain-score',
  'pain-change',
  'ache-weeks',
  'warning-sign',
  'clinician-agrees',
  'comparable',
  'signs-better',
  'signs-worse',
  'signs-left',
  'sessions-swum',
  'tries',
  'looks-taken',
] as const;
const CheckLeaf = z.strictObject({
  fact: z.enum(CHECK_FACTS),
  operator: z.enum(['is', 'atLeast', 'above', 'atMost', 'below']),
  value: z.union([z.boolean(), z.number()]),
});
const leaves = z.array(CheckLeaf).min(1).max(9);

/** A rule for the coach: the service does not see the next film before it is sent. The first that holds decides. */
export const PlanDecision = z.strictObject({
  code: Code,
  outcome: z.enum(PLAN_OUTCOMES),
  kinds: z.array(z.enum(PLAN_KINDS)).min(1).describe('Plans that ask it.'),
  films: z.array(z.enum(FILMS)).min(1).describe('Checkpoints that ask it.'),
  when: z.union([z.strictObject({ all: leaves }), z.strictObject({ any: leaves })]),
  mark: Mark,
});

export const PlanRule = ruleOf(
  'plan',
  z.discriminatedUnion('effect', [
    z.strictObject({ effect: z.literal('kind'), kind: z.enum(PLAN_KINDS) }),
    z.strictObject({
      effect: z.literal('load'),
      share: Share.describe('Of the distance swum now, in the first week.'),
      step: Share.describe('The most that a week may add to the one before.'),
    }),
    z.strictObject({ effect: z.literal('highest-stage'), stage: Stage }),
    z.strictObject({ effect: z.literal('gentle') }),
    z.strictObject({ effect: z.literal('varied') }),
    z.strictObject({ effect: z.literal('film-consent') }),
    z.strictObject({ effect: z.literal('race'), weeksBefore: z.int().min(0).max(4) }),
    z.strictObject({ effect: z.literal('caution'), caution: Code }),
  ]),
);

/** The numbers behind a stage of learning. */
const StageNumbers = z.strictObject({
  drillSessions: z.int().min(0).max(14).describe('Most sessions of a week that hold drills.'),
  step: z.int().min(0).max(2).describe('How many steps of progression are behind a drill.'),
  portion: z.enum(['most', 'least']),
  technique: z
    .number()
    .min(0.2)
    .max(2)
    .describe('What the minutes of the technique block are multiplied by.'),
});
export const PlanNumbers = z.strictObject({
  stages: z.strictObject(
    Object.fromEntries(PLAN_STAGES.map((s) => [s, StageNumbers])) as Record<
      (typeof PLAN_STAGES)[number],
      typeof StageNumbers
    >,
  ),
  filmMinutes: z.strictObject({ half: z.int().min(1), full: z.int().min(1) }),
  filmShare: Share.describe('Filming takes no more of a session than this.'),
  loadStep: Share.describe('The most that a week may add to the one before, where no rule says less.'),
  shortDose: Share.describe('A session takes up a drill when it has room for this much of its least dose.'),
  roundMetres: z.int().min(1),
  drillsPerFocus: z.int().min(1).max(4),
  signsPerFocus: z.int().min(1).max(8),
});

export type PlanTemplate = z.infer<typeof PlanTemplate>;
export type PlanWeekEntry = PlanTemplate['timetable'][number];
export type PlanDecision = z.infer<typeof PlanDecision>;
export type PlanParams = z.infer<typeof PlanRule>['event']['params'];
