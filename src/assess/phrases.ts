/** Sentences from the language file, with their {names} filled in. */
import type { Side } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

export function phrase(
  ruleSet: RuleSet,
  key: string,
  values: { readonly [name: string]: string } = {},
): string {
  const template = ruleSet.texts.phrases[key];
  if (template === undefined) throw new Error(`the language file has no phrase "${key}"`);
  return template.replace(/\{(\w+)\}/g, (all, name: string) => values[name] ?? all);
}

/** " on the left", or nothing for the whole body. */
export function sideWords(ruleSet: RuleSet, side: Side | 'both'): string {
  return side === 'body' ? '' : phrase(ruleSet, `side-${side}`);
}

export function labelOfFinding(ruleSet: RuleSet, code: string): string {
  return ruleSet.texts.observations[code]?.label ?? ruleSet.texts.findings[code]?.label ?? code;
}

export function bodyPartWords(ruleSet: RuleSet, code: string): string {
  return ruleSet.texts.lists.bodyParts[code] ?? code;
}

export function slotWords(ruleSet: RuleSet, slot: string): string {
  return ruleSet.texts.lists.slots[slot] ?? slot;
}

export function equipmentWords(ruleSet: RuleSet, code: string): string {
  return ruleSet.texts.lists.equipment[code] ?? code;
}

export function labelOfCause(ruleSet: RuleSet, code: string): string {
  return ruleSet.texts.causes[code]?.label ?? code;
}
