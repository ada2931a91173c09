/** Raw data to measurements. */
import { type MeasurementsAnswer, MeasurementsRequest } from '../../contract/measurements.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { measure } from '../../measure/measure.ts';
import { readBody } from '../input.ts';
import { parseJson } from '../json.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import type { Posted } from './posted.ts';

export interface MeasureTask extends Posted {
  readonly kind: 'measure';
}

export function measureTask({ bytes }: MeasureTask, catalogue: Catalogue): string {
  const sent = parseJson(bytes);
  const asked = ruleSetOf(sent, catalogue);
  const { ruleSet: _, ...raw } = readBody(MeasurementsRequest, sent, asked.ruleSet, asked.errors);
  const ruleSet = asked.ruleSet as RuleSet;
  const { name, version } = ruleSet.manifest;
  const answer: MeasurementsAnswer = {
    ruleSet: { name, version, digest: ruleSet.digest },
    ...measure(raw, ruleSet),
  };
  return JSON.stringify(answer);
}
