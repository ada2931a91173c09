/**
 * The parts of a rule set as a rule author writes them: one JSON file per part, one schema per file.
 * Schemas are strict, so that a misspelt field is an error with a place and not a rule that silently does less.
 */
import { z } from 'zod';
import { CERTAINTIES, Code, Goal, LEVELS, Level, View } from '../contract/common.ts';
import { OPERATOR_NAMES } from '../engine/operators.ts';

export const Mark = z
  .string()
  .regex(
    /common practice|judgement|published: ?\S|from memory/,
    'must name a source: "published: …", "common practice", "judgement" or "from memory"',
  )
  .describe('Where the entry comes from.');

const Id = z
  .string()
  .regex(/^[a-z0-9]+(-{1,2}[a-z0-9]+)*$/, 'must be a kebab-case id')
  .max(200);
const Share = z.number().min(0).max(1);
const Prose = z.string().min(1).max(400);

// ---------------------------------------------------------------- rules

const Variable = z.string().regex(/^\$[a-zA-Z]+$/);
const Leaf = z.strictObject({
  fact: z.string().min(1).max(120),
  operator: z.enum(OPERATOR_NAMES as [string, ...string[]]),
  value: z.union([z.boolean(), z.number(), z.string().max(120), z.array(z.string().max(120)).max(60)]),
});
type LeafShape = z.infer<typeof Leaf>;
export type AuthoredCondition = LeafShape | { all: AuthoredCondition[] } | { any: AuthoredCondition[] };
const Condition: z.ZodType<AuthoredCondition> = z.lazy(() => z.union([Leaf, Group]));
const Group = z.union([
  z.strictObject({ all: z.array(Condition).min(1).max(60) }),
  z.strictObject({ any: z.array(Condition).min(1).max(60) }),
]);

export const FOR_EACH = [
  'observed-finding',
  'drill',
  'drill-with-equipment',
  'drill-load',
  'drill-avoid',
] as const;

/** Scope `arm`: written once, run for left and right; sided facts then mean the own arm. Scope `body`: sided facts mean either side, the stronger. */
export const ruleOf = <T extends string, P extends z.ZodType>(type: T, params: P) =>
  z.strictObject({
    id: Id,
    forEach: z.strictObject({ each: z.enum(FOR_EACH), tag: Code.optional() }).optional(),
    scope: z.union([z.enum(['arm', 'body']), z.literal('$scope')]),
    conditions: Group,
    event: z.strictObject({ type: z.literal(type), params }),
    rationale: Prose,
    mark: Mark,
    elicited: z
      .array(z.strictObject({ by: z.string(), shows: z.string().optional(), at: z.string().optional() }))
      .optional(),
  });

const SideRule = z.enum(['same', 'opposite', 'both', 'stronger', 'body']);

export const ReportRule = ruleOf(
  'report',
  z.discriminatedUnion('kind', [
    z.strictObject({ finding: z.union([Code, Variable]), kind: z.enum(['seen', 'opposite', 'excluded']) }),
    z.strictObject({
      finding: Code,
      kind: z.literal('measured'),
      direction: z.enum(['at-least', 'at-most']),
      slight: z.number(),
      moderate: z.number(),
      marked: z.number(),
      absentAt: z.number().optional(),
    }),
  ]),
);
export const EvidenceRule = ruleOf(
  'evidence',
  z.strictObject({
    cause: Code,
    finding: Code,
    shows: Code,
    side: SideRule,
    group: Code.optional(),
    direct: z.boolean().optional(),
  }),
);
export const AdjustRule = ruleOf(
  'adjust',
  z.strictObject({
    cause: Code,
    role: z.enum(['clue', 'counter', 'meta']),
    sign: z.union([z.literal(1), z.literal(-1)]),
    strength: Code,
    group: Code.optional(),
    weighedBy: z.literal('first').optional(),
  }),
);
export const PHASES = ['catch', 'pull', 'push'] as const;
export const DeductionRule = ruleOf(
  'deduction',
  z.strictObject({
    finding: Code,
    phase: z.enum(PHASES),
    shares: z.tuple([Share, Share, Share]),
    replaces: z.array(Code).optional(),
    onlyOn: z.literal('breath-strokes').optional(),
  }),
);

export const Selector = z.strictObject({
  causes: z.array(Code).optional(),
  causesOtherThan: z.array(Code).optional(),
  costs: z.array(z.enum(['resistance', 'propulsion', 'timing', 'comfort'])).optional(),
  scope: z.enum(['arm', 'body']).optional(),
  timeBandsOtherThan: z.array(Code).optional(),
  onRestrictedArm: z.boolean().optional(),
});
const p = { principle: Code };
export const PrincipleRule = ruleOf(
  'principle',
  z.discriminatedUnion('effect', [
    z.strictObject({ ...p, effect: z.literal('lead'), rank: z.int().min(1).max(9), select: Selector }),
    z.strictObject({
      ...p,
      effect: z.literal('weigh'),
      factor: z.number().min(0.1).max(5),
      select: Selector,
    }),
    z.strictObject({ ...p, effect: z.literal('exclude'), select: Selector }),
    z.strictObject({ ...p, effect: z.literal('driver-first'), strongShows: Code, weakShows: Code }),
    z.strictObject({ ...p, effect: z.literal('shorter-time'), within: Share }),
    z.strictObject({ ...p, effect: z.literal('front-to-back'), within: Share }),
    z.strictObject({ ...p, effect: z.literal('worse-side') }),
    z.strictObject({
      ...p,
      effect: z.literal('at-most'),
      focus: z.int().min(0).max(2),
      drills: z.int().min(0).max(10).optional(),
    }),
    z.strictObject({ ...p, effect: z.literal('ask'), look: Code }),
    z.strictObject({ ...p, effect: z.literal('cancel') }),
    z.strictObject({ ...p, effect: z.literal('advise') }),
  ]),
);
export const ExcludeRule = ruleOf(
  'exclude',
  z.strictObject({ drill: z.union([Code, Variable]), reason: Code }),
);
export const GateRule = ruleOf(
  'gate',
  z.strictObject({
    caution: Code,
    outcome: z.enum(['stop', 'refer', 'modify']),
    restricts: z.array(Code).max(10),
  }),
);
export const CautionRule = ruleOf('caution', z.strictObject({ caution: Code }));
export const SufficiencyRule = ruleOf('ask-more', z.strictObject({ code: Code }));

// ---------------------------------------------------------------- vocabulary

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
  mark: Mark,
});
export const MeasurementEntry = z.strictObject({
  code: Code,
  unit: z.string().min(1).max(20),
  sided: z.boolean(),
  possible: z.strictObject({ min: z.number(), max: z.number() }),
  bands: z.strictObject({ novice: z.string(), intermediate: z.string(), advanced: z.string() }),
  mark: Mark,
});
export const FindingEntry = z.strictObject({
  code: Code,
  sided: z.boolean(),
  background: Code,
  how: z.enum(['filmed', 'asked', 'tested', 'measured']),
  views: z.array(View),
  mark: Mark,
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
});
export const PrincipleEntry = z.strictObject({ code: Code, mark: Mark });
export const CautionEntry = z.strictObject({
  code: Code,
  class: z.enum(['stop-now', 'refer', 'never', 'condition', 'modify']),
  mark: Mark,
});
export const SLOTS = ['warm-up', 'technique', 'build', 'main', 'easy', 'land', 'probe'] as const;
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
  mark: Mark,
});
export const SessionTemplate = z.strictObject({
  code: Code,
  level: Level,
  minutes: z.int().min(10).max(240),
  maxDrills: z.int().min(0).max(10),
  blocks: z
    .array(z.strictObject({ slot: z.enum(SLOTS), minutes: z.number().min(1), drills: z.array(Code) }))
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
    samePace: z.boolean().describe('Filmed, so only comparable at one pace; false for tests and answers.'),
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

// ---------------------------------------------------------------- constants

const wordShares = z.record(Code, Share);
const bins = z.record(Code, z.tuple([Share, Share]));
const perCertainty = z.strictObject(
  Object.fromEntries(CERTAINTIES.map((c) => [c, z.number()])) as Record<
    (typeof CERTAINTIES)[number],
    z.ZodNumber
  >,
);
export const Constants = z.strictObject({
  mark: Mark,
  words: z.strictObject({
    shows: wordShares,
    background: wordShares,
    prior: wordShares,
    strength: z.record(Code, z.number()),
  }),
  bins: z.strictObject({ shows: bins, background: bins }),
  reports: z.strictObject({
    certaintyDb: z.strictObject({ filmed: perCertainty, asked: perCertainty }),
    severityCapDb: z.tuple([z.number().nullable(), z.number().nullable(), z.number().nullable()]),
    goodCapDb: z.tuple([z.number(), z.number(), z.number()]),
    viewCapDb: z.strictObject({ partial: z.number(), poor: z.number(), 'cannot-show': z.number() }),
    nearSideDb: z.number(),
    discount: Share,
    limitDb: z.number(),
    conflictDb: z.number(),
    contradictionDb: z.number(),
  }),
  adjustments: z.strictObject({
    severityFactor: z.tuple([z.number(), z.number(), z.number(), z.number()]),
    certaintyFactor: perCertainty,
  }),
  propagation: z.strictObject({
    groupDiscount: Share,
    ties: z
      .enum(['share', 'first'])
      .describe('share: two sides that say the same share one line; first: the left one takes it.'),
    toleranceDb: z.number().positive(),
    damping: Share,
    maxSweeps: z.int(),
    maxRuns: z.int(),
    slowDamping: Share,
    slowMaxSweeps: z.int(),
    limitDb: z.number(),
  }),
  range: z.strictObject({ wordHalfWidthDb: z.number(), sharedBias: Share }),
  probabilityWords: z.array(z.strictObject({ word: z.string(), from: Share })).min(2),
  listing: z.strictObject({ probability: Share, ownEvidenceDb: z.number() }),
  efficiency: z.strictObject({
    weights: z.strictObject({ catch: Share, pull: Share, push: Share }),
    floor: Share,
    cap: z.number(),
    roundTo: z.number().positive(),
    differenceFrom: z.number(),
    reserve: z.strictObject({ good: z.number(), usual: z.number(), oneView: z.number() }),
    breathStrokeShare: z.strictObject({ estimate: Share, low: Share }),
    views: z.strictObject({ catch: z.array(View), pull: z.array(View), push: z.array(View) }),
  }),
  focus: z.strictObject({ ease: z.record(Code, z.number()), candidateFrom: Share }),
  drills: z.strictObject({
    effectShare: z.tuple([Share, Share, Share, Share]),
    otherCauseWeight: Share,
    propulsionGate: Share,
    worseSideShare: Share,
  }),
  change: z.strictObject({
    severitySteps: z.strictObject({ sameJudge: z.number(), otherJudge: z.number() }),
    efficiencyPoints: z.number(),
    pacePercent: z.number(),
    probability: Share,
  }),
  nextLook: z.strictObject({
    severity: z.int().min(1).max(3),
    certainty: z.enum(CERTAINTIES),
    candidates: z.int(),
  }),
});

export const Manifest = z.strictObject({
  name: Code,
  version: z.string().regex(/^\d+\.\d+\.\d+$/),
  status: z.enum(['draft', 'published', 'retired']),
  title: z.string(),
  engine: z.string(),
  languages: z.array(z.string()).min(1),
  parts: z.array(z.string()),
});

/** Every part by its file name. The order is the order in which a reader meets the parts. */
export const PARTS = {
  constants: Constants,
  lists: Lists,
  observations: z.array(ObservationEntry),
  'quality-flags': z.array(QualityFlag),
  measurements: z.array(MeasurementEntry),
  findings: z.array(FindingEntry),
  reports: z.array(ReportRule),
  causes: z.array(CauseEntry),
  links: z.array(EvidenceRule),
  drivers: z.array(DriverEntry),
  modifiers: z.array(AdjustRule),
  deductions: z.array(DeductionRule),
  principles: z.array(PrincipleEntry),
  'principle-rules': z.array(PrincipleRule),
  drills: z.array(DrillEntry),
  'drill-exclusions': z.array(ExcludeRule),
  sessions: z.array(SessionTemplate),
  cautions: z.array(CautionEntry),
  'gate-rules': z.array(GateRule),
  'caution-rules': z.array(CautionRule),
  'sufficiency-rules': z.array(SufficiencyRule),
  'change-limits': z.array(ChangeLimit),
} as const;

export type PartName = keyof typeof PARTS;
export type Parts = { readonly [K in PartName]: z.infer<(typeof PARTS)[K]> };
export type Manifest = z.infer<typeof Manifest>;
export type ObservationEntry = z.infer<typeof ObservationEntry>;
export type MeasurementEntry = z.infer<typeof MeasurementEntry>;
export type FindingEntry = z.infer<typeof FindingEntry>;
export type CauseEntry = z.infer<typeof CauseEntry>;
export type DriverEntry = z.infer<typeof DriverEntry>;
export type DrillEntry = z.infer<typeof DrillEntry>;
export type SessionTemplate = z.infer<typeof SessionTemplate>;
export type QualityFlag = z.infer<typeof QualityFlag>;
export type CautionEntry = z.infer<typeof CautionEntry>;
export type Constants = z.infer<typeof Constants>;
export type Lists = z.infer<typeof Lists>;
export type ChangeLimit = z.infer<typeof ChangeLimit>;
export type Selector = z.infer<typeof Selector>;
type ParamsOf<R extends z.ZodType> = z.infer<R> extends { event: { params: infer P } } ? P : never;
export type ReportParams = ParamsOf<typeof ReportRule>;
export type EvidenceParams = ParamsOf<typeof EvidenceRule>;
export type AdjustParams = ParamsOf<typeof AdjustRule>;
export type DeductionParams = ParamsOf<typeof DeductionRule>;
export type PrincipleParams = ParamsOf<typeof PrincipleRule>;
export type ExcludeParams = ParamsOf<typeof ExcludeRule>;
export type GateParams = ParamsOf<typeof GateRule>;
export type CautionParams = ParamsOf<typeof CautionRule>;
export type SufficiencyParams = ParamsOf<typeof SufficiencyRule>;
export interface AuthoredRule<P = unknown> {
  id: string;
  forEach?: { each: (typeof FOR_EACH)[number]; tag?: string | undefined } | undefined;
  scope: 'arm' | 'body' | '$scope';
  conditions: AuthoredCondition;
  event: { type: string; params: P };
  rationale: string;
  mark: string;
}
export { Goal, LEVELS };
