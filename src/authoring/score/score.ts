/** Labelled records scored under one rule set, with honest words for small samples. Pure. */
import { phrase } from '../../assess/phrases.ts';
import type { LabelledCase, ScoredRuleSet, Scores } from '../../contract/calibration.ts';
import type { Because } from '../../contract/common.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { judge, type ReadCase, readCase } from './forecasts.ts';
import { scoresByCause, scoresOf } from './scores.ts';

/** Below this many records no figure stands by itself (judgement). */
const ENOUGH_CASES = 100;

export interface ReadCases {
  readonly cases: readonly ReadCase[];
  /** Records that were left out, and why. */
  readonly messages: readonly Because[];
}

export function readCases(labelled: readonly LabelledCase[], ruleSet: RuleSet): ReadCases {
  const read = labelled.map((one, i) => readCase(one, i, ruleSet));
  return {
    cases: read.filter((c) => c !== null),
    messages: read.flatMap((c, i) =>
      c === null
        ? [{ code: 'stopped', text: phrase(ruleSet, 'score-stopped', { number: String(i + 1) }) }]
        : [],
    ),
  };
}

function slopeWords({ range }: Scores['slope']): string {
  if (range === null) return 'slope-unknown';
  return range[1] < 1 ? 'too-sure' : range[0] > 1 ? 'too-shy' : 'slope-right';
}

/** @param cases at least one */
export function scoreRuleSet(cases: readonly ReadCase[], ruleSet: RuleSet): ScoredRuleSet {
  const judged = cases.map((c) => judge(c, ruleSet));
  const overall = scoresOf(judged, ruleSet);
  const size = overall.cases < ENOUGH_CASES ? 'few-cases' : 'many-cases';
  const values = { cases: String(overall.cases), swimmers: String(overall.swimmers) };
  return {
    because: [size, slopeWords(overall.slope)].map((code) => ({
      code,
      text: phrase(ruleSet, `score-${code}`, values),
    })),
    overall,
    causes: scoresByCause(judged, ruleSet),
  };
}
