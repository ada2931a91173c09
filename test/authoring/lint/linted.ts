/** What the lint says of the shipped rule set after a change that leaves it loadable. The shipped one itself is clean. */
import { readCases } from '../../../src/authoring/library.ts';
import type { LintFinding } from '../../../src/authoring/lint/finding.ts';
import { lint } from '../../../src/authoring/lint/lint.ts';
import { checkRuleSet } from '../../../src/knowledge/check.ts';
import type { AuthoredCondition } from '../../../src/knowledge/parts.ts';
import { compileRuleSet, type RuleSet } from '../../../src/knowledge/rule-set.ts';
import { at, copyOfParts, copyOfTexts, RULES, shipped } from '../../knowledge/shipped.ts';

export type Parts = ReturnType<typeof copyOfParts>;
export type Texts = ReturnType<typeof copyOfTexts>;
export type Change = (parts: Parts, texts: Texts) => void;

export const shippedCases = await readCases(RULES, shipped);

/** @throws Error when the change makes a rule set that would not be loaded: no lint would ever see it. */
export function ruleSetAfter(change: Change): RuleSet {
  const [parts, texts] = [copyOfParts(), copyOfTexts()];
  change(parts, texts);
  const faults = checkRuleSet(parts, texts);
  if (faults.length > 0)
    throw new Error(faults.map((f) => `${f.file}#${f.pointer}: ${f.message}`).join('\n'));
  return compileRuleSet(shipped.manifest, parts, texts);
}

export const findingsAfter = (change: Change): LintFinding[] => lint({ ruleSet: ruleSetAfter(change) });

export const leaf = (fact: string, operator: string, value: unknown): AuthoredCondition =>
  ({ fact, operator, value }) as AuthoredCondition;

/** Adds a clue under the name `added`, like the first one of the shipped rule set. */
export function addClue(
  parts: Parts,
  texts: Texts,
  conditions: AuthoredCondition,
  params: object = {},
  id = 'added',
): void {
  const like = structuredClone(at(parts.modifiers, 0));
  Object.assign(like, { id, conditions });
  Object.assign(like.event.params, params);
  parts.modifiers.push(like);
  texts.modifiers[id] = 'text';
}

/** Adds a caution rule under the name `added`. */
export function addCaution(
  parts: Parts,
  texts: Texts,
  conditions: AuthoredCondition,
  caution: string,
  more: object = {},
): void {
  const like = structuredClone(at(parts['caution-rules'], 0));
  Object.assign(like, { id: 'added', conditions, ...more });
  like.event.params.caution = caution;
  parts['caution-rules'].push(like);
  texts.cautionRules.added = 'text';
}
