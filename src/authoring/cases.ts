/**
 * Cases: invented records with what a coach expects of them. They stand beside the rules and say when a rule
 * change breaks something that used to be right.
 */
import { z } from 'zod';
import { assess } from '../assess/assess.ts';
import { keyOf } from '../assess/findings.ts';
import { runFlow } from '../assess/pipeline.ts';
import { toRecord } from '../assess/record.ts';
import { type Concluded, study } from '../assess/study.ts';
import type { AssessmentAnswer } from '../contract/answer.ts';
import { Code, type Side } from '../contract/common.ts';
import { AssessmentRequest } from '../contract/request.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

const CauseRef = z.strictObject({ code: Code, side: z.enum(['left', 'right']).optional() });

export const Expectation = z.strictObject({
  status: z.enum(['stop', 'refer', 'ask-more', 'ok']).optional(),
  likely: z
    .array(CauseRef)
    .optional()
    .describe('Reach "likely" and stand among the first n + 2 causes, n being their number.'),
  possible: z.array(CauseRef).optional().describe('At most 3.5 dB below evens.'),
  notLeading: z
    .array(CauseRef)
    .optional()
    .describe('Stay under "likely" and under every expected likely cause.'),
  mechanisms: z.array(CauseRef).optional().describe('Reach "likely".'),
  anyOf: z.array(CauseRef).optional().describe('The best of these beats every cause of `beats`.'),
  beats: z.array(CauseRef).optional(),
  firstCause: Code.optional(),
  focus: z.array(Code).optional().describe('The focus begins with these causes, in this order.'),
  drills: z.array(Code).optional().describe('At least one of these is given.'),
  noDrills: z.array(Code).optional().describe('None of these is given.'),
  cautions: z.array(Code).optional(),
  restrictedParts: z.array(Code).optional(),
});

export const Case = z.strictObject({
  id: Code,
  title: z.string().min(1),
  invented: z.literal(true),
  request: AssessmentRequest,
  expect: Expectation,
  because: z.string().min(1).describe('Why a coach expects this.'),
});
export type Case = z.infer<typeof Case>;

const LIKELY_DB = 3.4746;
const NEAR_DB = -3.4746;

interface View {
  readonly answer: AssessmentAnswer;
  readonly dbOf: (ref: { code: string; side?: Side | undefined }) => number;
  /** Place among the listed causes, from 1; infinity when not listed. */
  readonly placeOf: (ref: { code: string; side?: Side | undefined }) => number;
}

async function viewOf(request: AssessmentRequest, ruleSet: RuleSet): Promise<View> {
  const answer = await assess(request, ruleSet);
  const inner = await runFlow(study(toRecord(request, ruleSet), ruleSet));
  const { weighed } = inner as Concluded;
  const causes = answer.status === 'stop' ? [] : answer.causes;
  return {
    answer,
    dbOf: ({ code, side }) =>
      weighed?.beliefs.logOddsDb[weighed.network.nodeOf.get(keyOf(code, side ?? 'body')) ?? -1] ??
      Number.NEGATIVE_INFINITY,
    placeOf: ({ code, side }) => {
      const i = causes.findIndex((c) => c.code === code && c.side === (side ?? 'body'));
      return i < 0 ? Number.POSITIVE_INFINITY : i + 1;
    },
  };
}

const named = (ref: { code: string; side?: Side | undefined }): string => keyOf(ref.code, ref.side ?? 'body');
const shown = (x: number): string => `${x.toFixed(1)} dB`;

/** @returns one sentence for each expectation that is not met; empty when the case is met. */
export async function checkCase(c: Case, ruleSet: RuleSet): Promise<string[]> {
  const { expect: e } = c;
  const { answer, dbOf, placeOf } = await viewOf(c.request, ruleSet);
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
  if (answer.status === 'stop') return faults;

  if (e.firstCause !== undefined && answer.causes[0]?.code !== e.firstCause) {
    fault(`first cause is ${answer.causes[0]?.code ?? 'none'}, expected ${e.firstCause}`);
  }
  e.focus?.forEach((code, i) => {
    if (answer.focus[i]?.cause !== code)
      fault(`focus ${i + 1} is ${answer.focus[i]?.cause ?? 'none'}, expected ${code}`);
  });
  const given = new Set(answer.drills.map((d) => d.code));
  if (e.drills !== undefined && !e.drills.some((code) => given.has(code)))
    fault(`none of ${e.drills.join(', ')} is given, but ${[...given].join(', ')}`);
  for (const code of e.noDrills ?? []) if (given.has(code)) fault(`drill ${code} is given and must not be`);
  const cautions = new Set(answer.cautions.map((k) => k.code));
  for (const code of e.cautions ?? []) if (!cautions.has(code)) fault(`caution ${code} is missing`);
  const parts = new Set(answer.restrictions.map((r) => r.bodyPart));
  for (const part of e.restrictedParts ?? []) if (!parts.has(part)) fault(`${part} is not restricted`);
  return faults;
}
