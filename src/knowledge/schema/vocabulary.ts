/** What can be recorded, concluded, prescribed and warned of: the entries that rules speak about. */
import { z } from 'zod';
import { Code, Level, View } from '../../contract/common.ts';
import { Allow, Id, Mark, Share, SideRule } from './shared.ts';

export const ObservationEntry = z.strictObject({
  code: Code,
  sided: z.boolean(),
  polarity: z.enum(['fault', 'good', 'info']),
  region: Code,
  phase: Code,
  views: z.array(View).min(1),
  costs: z.array(z.enum(['resistance', 'propulsion', 'timing', 'comfort'])),
  mark: Mark,
});
export const QualityFlag = z.strictObject({
  code: Code,
  caps: z.array(
    z.strictObject({
      view: z.enum(['partial', 'poor', 'cannot-show']),
      findings: z.array(Code).min(1),
      unlessSeenFrom: z.array(View).optional(),
    }),
  ),
  blocksComparison: z.boolean().optional().describe('Such a film is not held against another.'),
  mark: Mark,
});
export const MeasurementEntry = z.strictObject({
  code: Code,
  unit: z.string().min(1).max(20),
  sided: z.boolean(),
  possible: z.strictObject({ min: z.number(), max: z.number() }),
  bands: z.strictObject({ novice: z.string(), intermediate: z.string(), advanced: z.string() }),
  mark: Mark,
  allow: Allow,
});
export const FindingEntry = z.strictObject({
  code: Code,
  sided: z.boolean(),
  background: Code,
  how: z.enum(['filmed', 'asked', 'tested', 'measured']),
  views: z.array(View),
  mark: Mark,
  allow: Allow,
});
export const CauseEntry = z.strictObject({
  code: Code,
  role: z.enum(['root', 'mechanism', 'meta']),
  kind: Code,
  sided: z.boolean(),
  cost: z.enum(['resistance', 'propulsion', 'timing', 'comfort']),
  prior: z.strictObject({ novice: Code, intermediate: Code, advanced: Code }).optional(),
  background: Code.optional(),
  timeBand: Code,
  mark: Mark,
  allow: Allow,
});
export const DriverEntry = z.strictObject({
  id: Id,
  driver: Code,
  driven: Code,
  shows: Code,
  side: SideRule,
  infer: z
    .boolean()
    .describe(
      'true: counts in the network (driven is a mechanism); false: for the story and the order of work only.',
    ),
  mark: Mark,
  allow: Allow,
});
export const PrincipleEntry = z.strictObject({ code: Code, mark: Mark });
export const CautionEntry = z.strictObject({
  code: Code,
  class: z.enum(['stop-now', 'refer', 'never', 'condition', 'modify']),
  mark: Mark,
  allow: Allow,
});
export const SLOTS = ['warm-up', 'technique', 'build', 'main', 'easy', 'land', 'probe'] as const;
/** Blocks of a session: the slots that a drill can have, and filming. */
export const BLOCKS = [...SLOTS, 'film'] as const;
/** From least to most, both included. */
const spanOf = (number: z.ZodNumber) =>
  z
    .strictObject({ least: number, most: number })
    .refine((s) => s.least <= s.most, 'least must not be more than most');
/** One repeat of a drill in numbers: a distance or a time, and the rest after it. */
const Amount = z
  .strictObject({
    repeats: spanOf(z.int().min(1).max(50)),
    metres: z.number().positive().max(400).optional(),
    seconds: z.number().positive().max(600).optional().describe('For a drill in place.'),
    restSeconds: z.number().min(0).max(120),
    withSwim: z.literal(true).optional().describe('Normal swimming is a part of each repeat already.'),
  })
  .refine((a) => (a.metres === undefined) !== (a.seconds === undefined), 'needs metres or seconds');

export const DrillEntry = z.strictObject({
  code: Code,
  family: Code,
  levels: z.array(Level).min(1),
  phases: z.array(Code).min(1),
  slots: z.array(z.enum(SLOTS)).min(1),
  needsAnyOf: z.array(Code),
  loads: z.array(Code),
  tags: z.array(Code),
  prerequisites: z.array(Code),
  progression: Code.optional(),
  regression: Code.optional(),
  cautions: z.array(Code),
  targets: z.array(z.strictObject({ cause: Code, effect: z.int().min(0).max(3) })),
  avoid: z.array(z.strictObject({ cause: Code, from: z.enum(['possible', 'likely']) })),
  amount: z
    .strictObject({ pool25: Amount, pool50: Amount.optional(), mark: Mark })
    .describe('The dose in numbers; its words stand in the texts. Left out for the long pool: the same.'),
  perWeek: spanOf(z.int().min(1).max(14)).describe('Sessions a week.'),
  weeksAtMost: z.int().min(1).max(8).optional().describe('Left out: no limit.'),
  share: spanOf(Share)
    .optional()
    .describe('Share of the session for the drill and the swimming after it. Left out: done outside it.'),
  mark: Mark,
  allow: Allow,
});
export const SessionTemplate = z.strictObject({
  code: Code,
  level: Level,
  minutes: z.int().min(10).max(240),
  maxDrills: z.int().min(0).max(10),
  metres: spanOf(z.int().min(0).max(10_000)).describe('Distance of the whole session.'),
  blocks: z
    .array(
      z.strictObject({
        slot: z.enum(SLOTS),
        minutes: z.number().min(1),
        byGoal: z.literal(true).optional().describe('The goal of the swimmer says what to swim here.'),
        drills: z
          .array(Code)
          .describe(
            'Drills that the words of the block bring in: if one is ruled out, other words stand there.',
          ),
      }),
    )
    .min(1),
  mark: Mark,
});
export const ChangeLimit = z
  .strictObject({
    code: Code.describe('The measurement.'),
    units: z.number().positive().optional().describe('In the unit of the measurement.'),
    percent: z
      .number()
      .positive()
      .optional()
      .describe('Of the first value. Where both are given the larger holds.'),
    same: z
      .enum(['pace', 'effort', 'nothing'])
      .describe(
        'What must be the same in both films: the pace for what is filmed, the effort for speed, nothing for tests and answers.',
      ),
    better: z
      .enum(['lower', 'higher'])
      .optional()
      .describe('Where one way is better by itself; left out: better is less of a fault.'),
    mark: Mark,
  })
  .refine((l) => l.units !== undefined || l.percent !== undefined, 'needs units or percent');
/** The lists of words that have no entry of their own. */
export const LISTS = [
  'healthSigns',
  'painSites',
  'painFeatures',
  'conditions',
  'bodyParts',
  'equipment',
] as const;

export const Lists = z.strictObject({
  mark: Mark,
  healthSigns: z.array(Code),
  painSites: z.array(Code),
  painFeatures: z.array(Code),
  conditions: z.array(Code),
  bodyParts: z.array(Code),
  equipment: z.array(Code),
});

export type ObservationEntry = z.infer<typeof ObservationEntry>;
export type MeasurementEntry = z.infer<typeof MeasurementEntry>;
export type FindingEntry = z.infer<typeof FindingEntry>;
export type CauseEntry = z.infer<typeof CauseEntry>;
export type DriverEntry = z.infer<typeof DriverEntry>;
export type DrillEntry = z.infer<typeof DrillEntry>;
export type SessionTemplate = z.infer<typeof SessionTemplate>;
export type QualityFlag = z.infer<typeof QualityFlag>;
export type CautionEntry = z.infer<typeof CautionEntry>;
export type Lists = z.infer<typeof Lists>;
export type ChangeLimit = z.infer<typeof ChangeLimit>;
