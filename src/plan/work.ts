/** What a plan is made from. */
import type { DrillChoice } from '../assess/drills.ts';
import type { Record } from '../assess/record.ts';
import type { Concluded } from '../assess/study.ts';
import type { FullAnswer } from '../contract/answer.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

export interface Time {
  readonly sessionsPerWeek: number;
  readonly weeks: 4 | 6 | 8;
}

export interface Work {
  readonly answer: FullAnswer;
  readonly concluded: Concluded;
  readonly choice: DrillChoice;
  readonly record: Record;
  readonly ruleSet: RuleSet;
  readonly time: Time;
}
