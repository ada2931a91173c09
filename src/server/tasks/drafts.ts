/** Drafts of rule sets: checked, tried on one swimmer, scored and fitted on labelled records. */
import { checkDraft, nameOf } from '../../authoring/check/check.ts';
import { fitRuleSet } from '../../authoring/fit/fit.ts';
import { recordMistakes } from '../../authoring/records.ts';
import { readCases, scoreRuleSet } from '../../authoring/score/score.ts';
import { tryDraft } from '../../authoring/trial/trial.ts';
import {
  CheckRequest,
  type FitAnswer,
  LabelledRequest,
  type ScoreAnswer,
  TryRequest,
} from '../../contract/drafts.ts';
import type { ProblemError } from '../../contract/problem.ts';
import type { AssessmentRequest } from '../../contract/request.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { invalid, readBody } from '../input.ts';
import { parseJson } from '../json.ts';
import { baseErrors, DRAFT_DEPTH, standOf } from './draft.ts';
import type { Posted } from './posted.ts';

export interface DraftTask extends Posted {
  readonly kind: 'check' | 'try' | 'score' | 'fit';
}

/** Records use the words of the draft. */
function wrongRecords(
  records: readonly AssessmentRequest[],
  ruleSet: RuleSet,
  at: (i: number) => readonly (string | number)[],
): void {
  const errors = records.flatMap((record, i) => recordMistakes(record, ruleSet, at(i)));
  if (errors.length > 0) throw invalid(errors as ProblemError[]);
}

/** No record can be scored: all of them were stopped by a health sign. */
function nothingLeft(cases: readonly unknown[]): void {
  if (cases.length > 0) return;
  const message = 'a health sign stops every record, so there is nothing to learn from';
  throw invalid([{ pointer: '/cases', code: 'health-stop', message }]);
}

async function labelled(sent: unknown, catalogue: Catalogue, rules: string) {
  const body = readBody(LabelledRequest, sent, undefined, baseErrors(sent, catalogue));
  const stand = await standOf(body, catalogue, rules);
  const { ruleSet } = stand.draft;
  wrongRecords(
    body.cases.map((c) => c.request),
    ruleSet,
    (i) => ['cases', i, 'request'],
  );
  const { cases, messages } = readCases(body.cases, ruleSet);
  nothingLeft(cases);
  return { ...stand, body, cases, messages: [...messages] };
}

async function answerOf(kind: DraftTask['kind'], sent: unknown, catalogue: Catalogue, rules: string) {
  switch (kind) {
    case 'check': {
      const body = readBody(CheckRequest, sent, undefined, baseErrors(sent, catalogue));
      const { base, draft } = await standOf(body, catalogue, rules);
      wrongRecords(body.records ?? [], draft.ruleSet, (i) => ['records', i]);
      return checkDraft(base, draft, body.records);
    }
    case 'try': {
      const body = readBody(TryRequest, sent, undefined, baseErrors(sent, catalogue));
      const { base, draft } = await standOf(body, catalogue, rules);
      wrongRecords(body.records, draft.ruleSet, (i) => ['records', i]);
      return tryDraft(base, draft, body.records[0] as AssessmentRequest);
    }
    case 'score': {
      const { base, draft, body, cases, messages } = await labelled(sent, catalogue, rules);
      const before =
        base === undefined ? [] : readCases(readable(body.cases, base.ruleSet), base.ruleSet).cases;
      const answer: ScoreAnswer = {
        draft: nameOf(draft.ruleSet),
        messages,
        base: base === undefined || before.length === 0 ? null : scoreRuleSet(before, base.ruleSet),
        scores: scoreRuleSet(cases, draft.ruleSet),
      };
      return answer;
    }
    case 'fit': {
      const { draft, cases, messages } = await labelled(sent, catalogue, rules);
      const answer: FitAnswer = {
        draft: nameOf(draft.ruleSet),
        messages,
        fit: fitRuleSet(cases, draft.ruleSet),
      };
      return answer;
    }
  }
}

/** A base can be scored only where it can read every record: figures over other records would not compare. */
function readable(cases: LabelledRequest['cases'], ruleSet: RuleSet): LabelledRequest['cases'] {
  return cases.some((c) => recordMistakes(c.request, ruleSet, []).length > 0) ? [] : cases;
}

/** @param rules folder of the rule sets: their cases are read on the first draft. */
export async function draftTask(
  { kind, bytes }: DraftTask,
  catalogue: Catalogue,
  rules: string,
): Promise<string> {
  return JSON.stringify(await answerOf(kind, parseJson(bytes, DRAFT_DEPTH), catalogue, rules));
}
