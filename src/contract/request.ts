/** POST /v1/assessments: what a coach's record looks like. Every object is strict: an unknown field is an error. */
import { z } from 'zod';
import { Arm, CallerId, Certainty, Code, Goal, Level, View } from './common.ts';
import { RawData } from './raw-data.ts';

const shortText = (max: number) => z.string().max(max);

export const Swimmer = z
  .strictObject({
    ref: z.string().min(1).max(64).optional().describe("The caller's own reference. Never a name."),
    level: Level,
    age: z
      .int()
      .min(3)
      .max(110)
      .optional()
      .describe('Years. Decides the cautions for minors and growing swimmers.'),
    goal: Goal.optional(),
    heightM: z.number().min(0.8).max(2.5).optional(),
    armLengthM: z.number().min(0.3).max(1.2).optional(),
    equipment: z
      .array(Code)
      .max(20)
      .optional()
      .describe(
        'Aids at hand. Left out: not known, no drill is dropped for a missing aid. Empty list: none at hand.',
      ),
    deepWaterCompetent: z
      .boolean()
      .optional()
      .describe('Deep-water drills are offered only when this is true.'),
    weeksToRace: z.number().min(0).max(104).optional(),
    metresPerWeek: z.number().min(0).max(200_000).optional(),
    metresPerWeekBefore: z
      .number()
      .min(0)
      .max(200_000)
      .optional()
      .describe('Weekly distance before the last change.'),
  })
  .meta({ id: 'Swimmer', description: 'Only the level is required.' });

export const Pain = z
  .strictObject({
    site: Code,
    side: Arm.optional().describe('Left out for a paired body part: both sides are treated as painful.'),
    score: z.number().min(0).max(10).describe('Worst of the last week, 0 to 10.'),
    features: z.array(Code).max(20).optional(),
  })
  .meta({ id: 'Pain' });

export const Health = z
  .strictObject({
    asked: z
      .boolean()
      .describe(
        'True when the health questions were asked. Signs that are not listed then count as not there.',
      ),
    signs: z.array(Code).max(40).optional(),
    pain: z.array(Pain).max(20).optional(),
    conditions: z.array(Code).max(40).optional(),
    pregnancyWeek: z.number().min(0).max(45).optional(),
    clinicianAgrees: z.boolean().optional(),
    minorConsentOnFile: z.boolean().optional(),
  })
  .meta({ id: 'Health', description: 'The health gate. Left out: the answer says that nobody asked.' });

export const Recording = z
  .strictObject({
    views: z.array(View).max(8).optional().describe('The looks that were taken. Left out: not known.'),
    clips: z
      .array(z.strictObject({ id: z.string().min(1).max(64), view: View }))
      .max(50)
      .optional(),
    cycles: z.int().min(1).max(1000).optional().describe('Full arm cycles that the film shows.'),
    pace: z.enum(['easy', 'steady', 'race']).optional(),
    paceSecondsPer100: z.number().min(30).max(600).optional(),
    pool: z
      .strictObject({ length: z.number().min(5).max(200), unit: z.enum(['m', 'yd']) })
      .nullable()
      .optional()
      .describe('null: open water.'),
    suit: z.enum(['swimwear', 'wetsuit']).optional(),
    framesPerSecond: z.number().min(1).max(2000).optional(),
    flags: z
      .array(Code)
      .max(20)
      .optional()
      .describe('Quality flags of the rule set, such as camera-oblique.'),
    defaults: z
      .strictObject({ certainty: Certainty })
      .optional()
      .describe('Certainty written into every observation and measurement that does not state its own.'),
  })
  .meta({ id: 'Recording' });

export const Observation = z
  .strictObject({
    code: Code,
    side: z
      .enum(['body', 'left', 'right', 'both'])
      .optional()
      .describe(
        "The swimmer's own side, required where the code has one; sideMeans in the vocabulary says what it refers to. 'both' writes the entry for each side.",
      ),
    severity: z
      .int()
      .min(0)
      .max(3)
      .describe(
        '0 looked for and not there, 1 slight, 2 moderate, 3 marked. Good signs: 1 sometimes, 2 mostly, 3 always. Not looked for: leave the entry out.',
      ),
    certainty: Certainty.optional(),
    view: View.optional(),
    clip: z.string().min(1).max(64).optional(),
    cycles: z.int().min(1).max(1000).optional(),
    observer: z.string().min(1).max(64).optional(),
    atSeconds: z.number().min(0).max(86_400).optional(),
    note: shortText(1000).optional(),
  })
  .meta({ id: 'Observation' });

const Primitive = z.union([z.string().max(500), z.number(), z.boolean(), z.null()]);

export const Measurement = z
  .strictObject({
    code: Code,
    side: z
      .enum(['body', 'left', 'right'])
      .optional()
      .describe('Of which arm or side, where the measurement has one.'),
    value: z.number(),
    unit: z.string().max(20).optional().describe('If given it must be the unit of the vocabulary.'),
    standardDeviation: z.number().min(0).optional(),
    certainty: Certainty.optional(),
    view: View.optional(),
    clip: z.string().min(1).max(64).optional(),
    observer: z.string().min(1).max(64).optional(),
    derivation: z.record(z.string().max(64), z.union([Primitive, z.array(Primitive).max(200)])).optional(),
  })
  .meta({ id: 'Measurement' });

const CauseRef = { cause: Code, side: z.enum(['body', 'left', 'right', 'both']).optional() };

export const Coach = z
  .strictObject({
    focus: z
      .array(z.strictObject(CauseRef))
      .max(2)
      .optional()
      .describe('Replaces the focus. Changes no probability.'),
    rejectCauses: z
      .array(z.strictObject({ ...CauseRef, because: shortText(500) }))
      .max(60)
      .optional(),
    rejectDrills: z
      .array(z.strictObject({ code: Code, because: shortText(500) }))
      .max(100)
      .optional(),
    remarks: shortText(4000).optional(),
  })
  .meta({
    id: 'Coach',
    description: "The coach's own choices, honoured after the health gate and shown as such.",
  });

export const Options = z
  .strictObject({
    explain: z.enum(['lines', 'full']).optional(),
    drills: z.int().min(0).max(10).optional(),
    sessionMinutes: z.int().min(15).max(180).optional(),
    nextLooks: z.int().min(0).max(20).optional(),
  })
  .meta({ id: 'Options' });

export const AssessmentRequest = z
  .strictObject({
    requestId: CallerId.optional(),
    metadata: z
      .record(z.string().min(1).max(64), shortText(200))
      .refine((m) => Object.keys(m).length <= 16, 'at most 16 entries')
      .optional()
      .describe('Echoed, never logged.'),
    ruleSet: z
      .string()
      .max(120)
      .optional()
      .describe('name, name@version or name@range; left out: the newest version of front-crawl.'),
    swimmer: Swimmer,
    health: Health.optional(),
    recording: Recording.optional(),
    observations: z.array(Observation).max(600).optional(),
    measurements: z.array(Measurement).max(300).optional(),
    raw: RawData.optional().describe(
      'Raw timings, positions and landmarks: measured as POST /v1/measurements does, with the same result as sending its measurements.',
    ),
    coach: Coach.optional(),
    options: Options.optional(),
  })
  .meta({ id: 'AssessmentRequest' });

export type AssessmentRequest = z.infer<typeof AssessmentRequest>;
