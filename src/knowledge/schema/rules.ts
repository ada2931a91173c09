/** The rules of each stage: conditions in the format of json-rules-engine, and what a rule says when it fires. */
import { z } from 'zod';
import { Code } from '../../contract/common.ts';
import { OPERATOR_NAMES } from '../../engine/operators.ts';
import { Allow, Id, Mark, Prose, Share, SideRule } from './shared.ts';

const Variable = z.string().regex(/^\$[a-zA-Z]+$/);
const Leaf = z.strictObject({
  fact: z.string().min(1).max(120),
  operator: z.enum(OPERATOR_NAMES as [string, ...string[]]),
  value: z.union([z.boolean(), z.number(), z.string().max(120), z.array(z.string().max(120)).max(60)]),
});
type LeafShape = z.infer<typeof Leaf>;
export type AuthoredCondition = LeafShape | { all: AuthoredCondition[] } | { any: AuthoredCondition[] };
const Condition: z.ZodType<AuthoredCondition> = z.lazy(() =>
  z.union([Leaf, Group], 'must be a fact with an operator and a value, or hold parts under "all" or "any"'),
);
const Group = z.union(
  [
    z.strictObject({ all: z.array(Condition).min(1).max(60) }),
    z.strictObject({ any: z.array(Condition).min(1).max(60) }),
  ],
  'must hold its parts under "all" or "any", one of the two',
);

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
    table: Code.optional().describe(
      'Rules of one table exclude each other, and whatever their facts are, one of them holds.',
    ),
    rationale: Prose,
    mark: Mark,
    allow: Allow,
    elicited: z
      .array(z.strictObject({ by: z.string(), shows: z.string().optional(), at: z.string().optional() }))
      .optional(),
  });

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
  table?: string | undefined;
  rationale: string;
  mark: string;
  allow?: z.infer<typeof Allow>;
}
