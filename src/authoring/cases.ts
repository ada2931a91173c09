/**
 * Cases: invented records with what a coach expects of them. They stand beside the rules and say when a rule
 * change breaks something that used to be right.
 */
import { z } from 'zod';
import { keyOf } from '../assess/findings.ts';
import type { Concluded } from '../assess/study.ts';
import type { AssessmentAnswer } from '../contract/answer.ts';
import { Code, type Side } from '../contract/common.ts';
import { AssessmentRequest } from '../contract/request.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Probed, probe } from './probe.ts';

/** A list that names nothing would expect nothing. */
const some = <T extends z.ZodType>(item: T) =>
  z.array(item).min(1, 'must name something, or be left out').optional();

const CauseRef = z.strictObject({ code: Code, side: z.enum(['left', 'right']).optional() });

export const Expectation = z
  .strictObject({
    status: z.enum(['stop', 'refer', 'ask-more', 'ok']).optional(),
    likely: some(CauseRef).describe(
      'Reach "likely" and stand among the first n + 2 causes, n being their number.',
    ),
    possible: some(CauseRef).describe('At most 3.5 dB below evens.'),
    notLeading: some(CauseRef).describe('Stay under "likely" and under every expected likely cause.'),
    mechanisms: some(CauseRef).describe('Reach "likely".'),
    anyOf: some(CauseRef).describe('The best of these beats every cause of `beats`.'),
    beats: some(CauseRef),
    firstCause: Code.optional(),
    focus: z
      .array(Code)
      .optional()
      .describe('The focus begins with these causes, in this order. An empty list: there is no focus.'),
    drills: some(Code).describe('At least one of these is given.'),
    noDrills: some(Code).describe('None of these is given.'),
    excluded: some(z.strictObject({ code: Code, reason: Code })).describe(
      'These drills are ruled out for these reasons.',
    ),
    cautions: some(Code),
    noCautions: some(Code),
    restrictedParts: some(Code),
    findings: some(
      z.strictObject({
        code: Code,
        side: z.enum(['left', 'right']).optional(),
        status: z.enum(['present', 'absent']),
      }),
    ),
    speaksFor: z
      .array(CauseRef)
      .optional()
      .describe('Exactly these causes and mechanisms have a line of their own that speaks for them.'),
    speaksAgainst: z.array(CauseRef).optional().describe('Exactly these have one that speaks against them.'),
    loses: some(
      z.strictObject({
        side: z.enum(['left', 'right']),
        phase: z.enum(['catch', 'pull', 'push']),
        observation: Code,
      }),
    ).describe('The phase of this arm loses a share to this fault.'),
    principles: some(Code).describe('These principles applied.'),
    messages: some(Code),
    planRules: z.array(Code).optional().describe('Exactly these rules shape a plan from this record.'),
  })
  .refine((e) => Object.keys(e).length > 0, 'must expect something');

export const Case = z.strictObject({
  id: z
    .string()
    .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be a kebab-case id')
    .max(200),
  title: z.string().min(1),
  invented: z.literal(true),
  request: AssessmentRequest,
  expect: Expectation,
  because: z.string().min(1).describe('Why a coach expects this.'),
});
export type Case = z.infer<typeof Case>;

const LIKELY_DB = 3.4746;
const NEAR_DB = -3.4746;

interface Inside {
  readonly answer: AssessmentAnswer;
  readonly dbOf: (ref: { code: string; side?: Side | undefined }) => number;
  /** Place among the listed causes, from 1; infinity when not listed. */
  readonly placeOf: (ref: { code: string; side?: Side | undefined }) => number;
  /** Keys of the nodes with a line of their own of this sign. */
  readonly spokenFor: (sign: 1 | -1) => string[];
  readonly principles: readonly string[];
  readonly planRules: readonly string[];
}

function lookInside({ answer, study: inner, planRules }: Probed): Inside {
  const causes = answer.status === 'stop' ? [] : answer.causes;
  return {
    answer,
    dbOf: ({ code, side }) => {
      if (inner.status === 'stop') return Number.NEGATIVE_INFINITY;
      const { beliefs, network } = inner.weighed;
      return (
        beliefs.logOddsDb[network.nodeOf.get(keyOf(code, side ?? 'body')) ?? -1] ?? Number.NEGATIVE_INFINITY
      );
    },
    placeOf: ({ code, side }) => {
      const i = causes.findIndex((c) => c.code === code && c.side === (side ?? 'body'));
      return i < 0 ? Number.POSITIVE_INFINITY : i + 1;
    },
    spokenFor: (sign) => (inner.status === 'stop' ? [] : ownLines(inner, sign)),
    principles: inner.status === 'stop' ? [] : inner.plan.principles,
    planRules,
  };
}

/** A finding or a fixed line, not what a mechanism passes on. */
function ownLines({ weighed, evidence }: Concluded, sign: 1 | -1): string[] {
  const { network, beliefs } = weighed;
  const fixed = evidence.fixed.filter((l) => l.db * sign > 0).map((l) => keyOf(l.cause, l.side));
  const fromFindings = network.nodes.filter((node) =>
    node.children.some((i) => {
      const child = network.children[network.pairs[i]?.child ?? -1];
      return (
        child !== undefined &&
        child.node < 0 &&
        (beliefs.weightDb[i] as number) * (beliefs.factor[i] as number) * sign > 0
      );
    }),
  );
  return [...new Set([...fixed, ...fromFindings.map((n) => n.key)])].sort();
}

function sameSet(
  name: string,
  expected: readonly { code: string; side?: Side | undefined }[] | undefined,
  actual: readonly string[],
): string[] {
  if (expected === undefined) return [];
  const wanted = expected.map(named);
  const missing = wanted.filter((key) => !actual.includes(key));
  const extra = actual.filter((key) => !wanted.includes(key));
  return [
    ...missing.map((key) => `nothing ${name} ${key}`),
    ...extra.map((key) => `something ${name} ${key}, which is not expected`),
  ];
}

const named = (ref: { code: string; side?: Side | undefined }): string => keyOf(ref.code, ref.side ?? 'body');
const shown = (x: number): string => `${x.toFixed(1)} dB`;

/** @returns one sentence for each expectation that is not met; empty when the case is met. */
export function checkCase(c: Case, ruleSet: RuleSet): string[] {
  return faultsOf(c.expect, probe(c.request, ruleSet));
}

/** @param probed the record of a case, as it came out. */
export function faultsOf(e: Case['expect'], probed: Probed): string[] {
  const { answer, dbOf, placeOf, spokenFor, principles, planRules } = lookInside(probed);
  const faults: string[] = [];
  const fault = (text: string): void => void faults.push(text);

  if (e.status !== undefined && answer.status !== e.status)
    fault(`status is ${answer.status}, expected ${e.status}`);
  const likely = e.likely ?? [];
  for (const ref of likely) {
    if (dbOf(ref) < LIKELY_DB) fault(`${named(ref)} is not likely (${shown(dbOf(ref))})`);
    if (placeOf(ref) > likely.length + 2)
      fault(`${named(ref)} is at place ${placeOf(ref)}, expected within ${likely.length + 2}`);
  }
  for (const ref of e.possible ?? [])
    if (dbOf(ref) < NEAR_DB) fault(`${named(ref)} is not near possible (${shown(dbOf(ref))})`);
  for (const ref of e.notLeading ?? []) {
    if (dbOf(ref) >= LIKELY_DB) fault(`${named(ref)} is likely (${shown(dbOf(ref))}) and must not be`);
    for (const first of likely)
      if (dbOf(ref) >= dbOf(first)) fault(`${named(ref)} stands above ${named(first)}`);
  }
  for (const ref of e.mechanisms ?? [])
    if (dbOf(ref) < LIKELY_DB) fault(`mechanism ${named(ref)} is not likely (${shown(dbOf(ref))})`);
  if (e.anyOf !== undefined) {
    const best = Math.max(...e.anyOf.map(dbOf));
    for (const rival of e.beats ?? []) {
      if (dbOf(rival) >= best)
        fault(
          `${named(rival)} (${shown(dbOf(rival))}) beats ${e.anyOf.map(named).join(' or ')} (${shown(best)})`,
        );
    }
  }
  const cautions = new Set(answer.cautions.map((k) => k.code));
  for (const code of e.cautions ?? []) if (!cautions.has(code)) fault(`caution ${code} is missing`);
  for (const code of e.noCautions ?? [])
    if (cautions.has(code)) fault(`caution ${code} is raised and must not be`);
  const messages = new Set(answer.messages.map((m) => m.code));
  for (const code of e.messages ?? []) if (!messages.has(code)) fault(`message ${code} is missing`);
  faults.push(
    ...sameSet('speaks for', e.speaksFor, spokenFor(1)),
    ...sameSet('speaks against', e.speaksAgainst, spokenFor(-1)),
  );
  for (const code of e.principles ?? [])
    if (!principles.includes(code)) fault(`principle ${code} did not apply`);
  faults.push(
    ...sameSet(
      'shapes the plan:',
      e.planRules?.map((code) => ({ code })),
      planRules,
    ),
  );
  if (answer.status === 'stop') return faults;

  for (const f of e.findings ?? []) {
    const found = answer.findings.find((x) => x.code === f.code && x.side === (f.side ?? 'body'));
    if (found?.status !== f.status)
      fault(`finding ${named(f)} is ${found?.status ?? 'not assessed'}, expected ${f.status}`);
  }
  for (const { side, phase, observation } of e.loses ?? []) {
    const score = answer.efficiency[side][phase];
    const lost =
      score.status === 'scored' && score.lost.some((l) => l.observation === observation && l.share > 0);
    if (!lost) fault(`the ${phase} of the ${side} arm loses nothing to ${observation}`);
  }
  for (const { code, reason } of e.excluded ?? []) {
    const out = answer.excludedDrills.find((d) => d.code === code);
    if (out?.reason !== reason)
      fault(
        `drill ${code} is ${out === undefined ? 'not ruled out' : `ruled out for ${out.reason}`}, expected ${reason}`,
      );
  }

  if (e.firstCause !== undefined && answer.causes[0]?.code !== e.firstCause) {
    fault(`first cause is ${answer.causes[0]?.code ?? 'none'}, expected ${e.firstCause}`);
  }
  if (e.focus?.length === 0 && answer.focus.length > 0)
    fault(`the focus is ${answer.focus.map((f) => f.cause).join(', ')}, expected none`);
  e.focus?.forEach((code, i) => {
    if (answer.focus[i]?.cause !== code)
      fault(`focus ${i + 1} is ${answer.focus[i]?.cause ?? 'none'}, expected ${code}`);
  });
  const given = new Set(answer.drills.map((d) => d.code));
  if (e.drills !== undefined && !e.drills.some((code) => given.has(code)))
    fault(`none of ${e.drills.join(', ')} is given, but ${[...given].join(', ')}`);
  for (const code of e.noDrills ?? []) if (given.has(code)) fault(`drill ${code} is given and must not be`);
  const parts = new Set(answer.restrictions.map((r) => r.bodyPart));
  for (const part of e.restrictedParts ?? []) if (!parts.has(part)) fault(`${part} is not restricted`);
  return faults;
}
