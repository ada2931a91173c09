/** Sentences from the language file, with their {names} filled in. */
import type { Side } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { remembered } from './remembered.ts';

/** The sentences cut at their names: text, name, text, name and so on. */
const cut = remembered(
  (phrases: RuleSet['texts']['phrases']): ReadonlyMap<string, readonly string[]> =>
    new Map(Object.entries(phrases).map(([key, template]) => [key, template.split(/\{(\w+)\}/)])),
);

export function phrase(
  ruleSet: RuleSet,
  key: string,
  values: { readonly [name: string]: string } = {},
): string {
  const pieces = cut(ruleSet.texts.phrases).get(key);
  if (pieces === undefined) throw new Error(`the language file has no phrase "${key}"`);
  let text = pieces[0] as string;
  for (let i = 1; i < pieces.length; i += 2) {
    const name = pieces[i] as string;
    text += (values[name] ?? `{${name}}`) + (pieces[i + 1] as string);
  }
  return text;
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
