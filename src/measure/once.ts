/** One block of raw data is checked and then used: it is measured once for both. */
import { remembered } from '../assess/remembered.ts';
import type { RawData } from '../contract/raw-data.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Measured, measure } from './measure.ts';

const ofRuleSet = remembered((ruleSet: RuleSet) =>
  remembered((raw: RawData): Measured => measure(raw, ruleSet)),
);

/**
 * {@link measure}, remembered for as long as the raw data live. The answer is shared and must not be changed.
 *
 * @param raw must be valid and must not change afterwards
 */
export const measureOnce = (raw: RawData, ruleSet: RuleSet): Measured => ofRuleSet(ruleSet)(raw);
