/** Rules as an author writes them, over a handful of facts of every sided kind. */
import type { Leaf } from '../../src/engine/conditions.ts';
import type { FactSpec } from '../../src/knowledge/fact-catalogue.ts';
import type { AuthoredCondition, AuthoredRule } from '../../src/knowledge/parts.ts';

export const facts: ReadonlyMap<string, FactSpec> = new Map([
  ['elbow-low', { kind: 'seen', sided: true }],
  ['hips-low', { kind: 'seen', sided: false }],
  ['shoulder-pain', { kind: 'pain', sided: true }],
  ['cause:weak-arm', { kind: 'probability', sided: true }],
  ['focus:weak-arm', { kind: 'flag', sided: true }],
]);

export function rule(scope: AuthoredRule['scope'], conditions: AuthoredCondition): AuthoredRule {
  return {
    id: 'a-rule',
    scope,
    conditions,
    event: { type: 'any', params: {} },
    rationale: 'why',
    mark: 'judgement',
  };
}
export const leaf = (fact: string, operator = 'seenAtLeast', value: Leaf['value'] = 1): AuthoredCondition =>
  ({ fact, operator, value }) as AuthoredCondition;
