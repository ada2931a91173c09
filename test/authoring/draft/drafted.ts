/** Drafts on the shipped rule set. */
import { type BuiltDraft, buildDraft, sourceOf } from '../../../src/authoring/draft/build.ts';
import { DraftInvalid, type DraftMistake } from '../../../src/authoring/draft/mistakes.ts';
import type { Draft } from '../../../src/authoring/draft/overlay.ts';
import { shipped } from '../../knowledge/shipped.ts';
import { shippedCases } from '../lint/linted.ts';

export const source = sourceOf({ ruleSet: shipped, cases: shippedCases });

export const built = (upsert: object, remove?: object): BuiltDraft =>
  buildDraft(source, { upsert, ...(remove === undefined ? {} : { remove }) } as Draft);

export function mistakesOf(draft: unknown): readonly DraftMistake[] {
  try {
    buildDraft(source, draft as Draft);
  } catch (error) {
    if (error instanceof DraftInvalid) return error.mistakes;
    throw error;
  }
  return [];
}

export const told = (draft: unknown): string[] =>
  mistakesOf(draft).map((m) => `${m.pointer} ${m.code}: ${m.message}`);
