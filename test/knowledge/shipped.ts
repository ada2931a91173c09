/** The rule set in this repository, and copies of it that a test may spoil. */
import { fileURLToPath } from 'node:url';
import { checkRuleSet } from '../../src/knowledge/check.ts';
import { loadRuleSet } from '../../src/knowledge/load.ts';
import type { Parts } from '../../src/knowledge/parts.ts';
import type { Texts } from '../../src/knowledge/texts.ts';

export const RULES = fileURLToPath(new URL('../../rules', import.meta.url));
export const FRONT_CRAWL = fileURLToPath(new URL('../../rules/front-crawl/1.0.0', import.meta.url));

export const shipped = await loadRuleSet(FRONT_CRAWL);

/** The same shape with every list and field open to change. */
export type Draft<T> = T extends readonly (infer Item)[]
  ? number extends T['length']
    ? Draft<Item>[]
    : { -readonly [K in keyof T]: Draft<T[K]> }
  : T extends object
    ? { -readonly [K in keyof T]: Draft<T[K]> }
    : T;

export function copyOfParts(): Draft<Parts> {
  return structuredClone(shipped.parts) as Draft<Parts>;
}

export function copyOfTexts(): Draft<Texts> {
  return structuredClone(shipped.texts) as Draft<Texts>;
}

/** The entry at a place that is known to exist. */
export function at<T>(list: readonly T[], index: number): T {
  const entry = list.at(index);
  if (entry === undefined) throw new Error(`the list has no entry ${index}`);
  return entry;
}

export function found<T>(list: readonly T[], fits: (item: T) => boolean): { entry: T; index: number } {
  const index = list.findIndex(fits);
  return { entry: at(list, index < 0 ? list.length : index), index };
}

/** @returns what the cross check says of a copy of the shipped rule set after one change, as `file#pointer: message`. */
export function faultsAfter(
  change: (parts: ReturnType<typeof copyOfParts>, texts: ReturnType<typeof copyOfTexts>) => void,
): string[] {
  const [parts, texts] = [copyOfParts(), copyOfTexts()];
  change(parts, texts);
  return checkRuleSet(parts, texts).map((e) => `${e.file}#${e.pointer}: ${e.message}`);
}
