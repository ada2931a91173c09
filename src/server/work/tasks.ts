/** The work behind an answer: pure, from a parsed body to the bytes that are sent. It runs in a thread of its own. */
import { assess } from '../../assess/assess.ts';
import type { AssessmentAnswer } from '../../contract/answer.ts';
import { BatchItem } from '../../contract/batch.ts';
import { type MeasurementsAnswer, MeasurementsRequest } from '../../contract/measurements.ts';
import { minimalOf } from '../../contract/minimal-answer.ts';
import { AssessmentRequest } from '../../contract/request.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { measure } from '../../measure/measure.ts';
import { assessmentReport } from '../../report/assessment.ts';
import { idOf, problemLine } from '../batch/item.ts';
import { readBody } from '../input.ts';
import { HttpProblem, type ProblemParts } from '../problems.ts';
import { type Form, type ReportQuery, writeReport } from '../routes/forms.ts';
import { ruleSetOf } from '../routes/rule-set-of.ts';

export type Audience = NonNullable<ReportQuery['audience']>;

export interface AssessTask {
  readonly kind: 'assess';
  readonly body: unknown;
  readonly form: Form;
  readonly audience: Audience;
  /** The short answer is enough; reports are always whole. */
  readonly minimal: boolean;
}

export interface ItemTask {
  readonly kind: 'item';
  readonly line: number;
  readonly item: unknown;
  /** The line that had this id before. */
  readonly repeats: number | undefined;
  /** The short answer is enough. */
  readonly minimal: boolean;
}

export interface MeasureTask {
  readonly kind: 'measure';
  readonly body: unknown;
}

/** Asks whether a thread is ready. */
export interface NoTask {
  readonly kind: 'nothing';
}

export type Task = AssessTask | ItemTask | MeasureTask | NoTask;

const answerText = (answer: AssessmentAnswer, minimal: boolean): string =>
  JSON.stringify(minimal ? minimalOf(answer) : answer);

async function assessBody(task: AssessTask, catalogue: Catalogue): Promise<string> {
  const { ruleSet, errors } = ruleSetOf(task.body, catalogue);
  const body = readBody(AssessmentRequest, task.body, ruleSet, errors);
  const answer = await assess(body, ruleSet as RuleSet);
  if (task.form === 'application/json') return answerText(answer, task.minimal);
  return writeReport(
    task.form,
    assessmentReport(answer, task.audience, body.coach?.remarks, ruleSet as RuleSet),
  );
}

const recordOf = (item: unknown): unknown => (item as { request?: unknown } | null)?.request;

async function assessItem({ line, item, repeats, minimal }: ItemTask, catalogue: Catalogue): Promise<string> {
  const id = idOf(item);
  const repeated =
    repeats === undefined
      ? []
      : [{ pointer: '/id', code: 'repeated', message: `line ${repeats} has this id already` }];
  try {
    const { ruleSet, errors } = ruleSetOf(recordOf(item), catalogue, '/request');
    const { request } = readBody(BatchItem, item, ruleSet, [...repeated, ...errors], {
      find: (value) => [{ record: recordOf(value), at: '/request' }],
    });
    const answer = await assess(request, ruleSet as RuleSet);
    return `{"id":${JSON.stringify(id)},"answer":${answerText(answer, minimal)}}\n`;
  } catch (error) {
    if (error instanceof HttpProblem) return problemLine(line, id, error);
    throw error;
  }
}

function measureBody(body: unknown, catalogue: Catalogue): string {
  const asked = ruleSetOf(body, catalogue);
  const { ruleSet: _, ...raw } = readBody(MeasurementsRequest, body, asked.ruleSet, asked.errors);
  const ruleSet = asked.ruleSet as RuleSet;
  const { name, version } = ruleSet.manifest;
  const answer: MeasurementsAnswer = {
    ruleSet: { name, version, digest: ruleSet.digest },
    ...measure(raw, ruleSet),
  };
  return JSON.stringify(answer);
}

/** What an `HttpProblem` says, as plain data: an error loses its own fields on the way out of a thread. */
export type Refusal = Pick<HttpProblem, 'slug'> & ProblemParts;

/** The bytes of the answer, or why there is none. */
export type Outcome = Uint8Array<ArrayBuffer> | Refusal;

async function textOf(task: Task, catalogue: Catalogue): Promise<string> {
  switch (task.kind) {
    case 'assess':
      return assessBody(task, catalogue);
    case 'item':
      return assessItem(task, catalogue);
    case 'measure':
      return measureBody(task.body, catalogue);
    case 'nothing':
      return '';
  }
}

export async function doTask(task: Task, catalogue: Catalogue): Promise<Outcome> {
  try {
    return new TextEncoder().encode(await textOf(task, catalogue));
  } catch (error) {
    if (!(error instanceof HttpProblem)) throw error;
    const { slug, detail, errors, headers } = error;
    return {
      slug,
      headers,
      ...(detail === undefined ? {} : { detail }),
      ...(errors === undefined ? {} : { errors }),
    };
  }
}
