/** The work behind every answer: pure, from what was sent to the bytes that are sent back. It runs in a thread of its own. */
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { Decision } from '../decision-log.ts';
import { HttpProblem, type ProblemParts } from '../problems.ts';
import { type AgreeTask, agreeTask } from './agree.ts';
import { type AssessTask, assessTask, type Written } from './assess.ts';
import { type CompareTask, compareTask } from './compare.ts';
import { type DraftTask, draftTask } from './drafts.ts';
import { type ItemTask, itemTask } from './item.ts';
import { type MeasureTask, measureTask } from './measure.ts';
import { type PlanTask, planTask } from './plan.ts';
import { type SelfTestTask, selfTestTask } from './self-test.ts';
import { type SquadTask, squadTask } from './squad.ts';

/** Asks whether a thread is ready. */
export interface NoTask {
  readonly kind: 'nothing';
}

export type Task =
  | AssessTask
  | ItemTask
  | MeasureTask
  | CompareTask
  | PlanTask
  | SquadTask
  | AgreeTask
  | DraftTask
  | SelfTestTask
  | NoTask;

/** What an `HttpProblem` says, as plain data: an error loses its own fields on the way out of a thread. */
export type Refusal = Pick<HttpProblem, 'slug'> & ProblemParts;

/** What a task has written. */
export interface Done {
  readonly bytes: Uint8Array<ArrayBuffer>;
  /** Of an assessment: what stands in the log of decisions. */
  readonly decision?: Decision;
}

/** The answer, or why there is none. */
export type Outcome = Done | Refusal;

async function writtenBy(task: Task, catalogue: Catalogue, rules: string): Promise<Written | string> {
  switch (task.kind) {
    case 'assess':
      return assessTask(task, catalogue);
    case 'item':
      return itemTask(task, catalogue);
    case 'measure':
      return measureTask(task, catalogue);
    case 'compare':
      return compareTask(task, catalogue);
    case 'plan':
      return planTask(task, catalogue);
    case 'squad':
      return squadTask(task, catalogue);
    case 'agree':
      return agreeTask(task, catalogue);
    case 'check':
    case 'try':
    case 'score':
    case 'fit':
      return draftTask(task, catalogue, rules);
    case 'self-test':
      return selfTestTask(task, catalogue);
    case 'nothing':
      return '';
  }
}

/** @param rules folder of the rule sets, for what is read only when it is asked for. */
export async function doTask(task: Task, catalogue: Catalogue, rules: string): Promise<Outcome> {
  try {
    const written = await writtenBy(task, catalogue, rules);
    const { text, decision }: Written = typeof written === 'string' ? { text: written } : written;
    const bytes = new TextEncoder().encode(text);
    return decision === undefined ? { bytes } : { bytes, decision };
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
