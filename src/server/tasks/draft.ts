/** A draft and what it stands on, read from a request. */
import { type BuiltDraft, buildDraft, type Library, sourceOf } from '../../authoring/draft/build.ts';
import { DraftInvalid } from '../../authoring/draft/mistakes.ts';
import type { Draft } from '../../authoring/draft/overlay.ts';
import { starterOf } from '../../authoring/draft/starter.ts';
import { readCases } from '../../authoring/library.ts';
import type { ProblemError } from '../../contract/problem.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import { MAX_DEPTH } from '../../knowledge/read-shape.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { invalid } from '../input.ts';
import { ruleSetOf } from '../rule-set-of.ts';

/** Entries of a rule set stand deeper in a request than any record does. */
export const DRAFT_DEPTH = MAX_DEPTH + 8;

export interface Stand {
  readonly base: Library | undefined;
  readonly draft: BuiltDraft;
}

/** Cases of served rule sets, read once: they cannot change while they are served. */
const libraries = new Map<RuleSet, Promise<Library>>();

function libraryOf(ruleSet: RuleSet, rules: string): Promise<Library> {
  const known = libraries.get(ruleSet);
  if (known !== undefined) return known;
  const library = readCases(rules, ruleSet).then((cases) => ({ ruleSet, cases }));
  libraries.set(ruleSet, library);
  return library;
}

/** @returns the mistake of a base that is not served; none for a new rule set. */
export function baseErrors(sent: unknown, catalogue: Catalogue): readonly ProblemError[] {
  const { base } = (sent ?? {}) as { base?: unknown };
  if (typeof base !== 'string') return [];
  return ruleSetOf({ ruleSet: base }, catalogue).errors.map((e) => ({ ...e, pointer: '/base' }));
}

/**
 * @param body of a valid shape, with a base that is served.
 * @param rules folder of the rule sets.
 * @throws HttpProblem `invalid-request` with every mistake of the draft.
 */
export async function standOf(
  { base, draft }: { readonly base: string | null; readonly draft: Draft },
  catalogue: Catalogue,
  rules: string,
): Promise<Stand> {
  const served = catalogue.resolve(base ?? undefined) as RuleSet;
  const library = base === null ? undefined : await libraryOf(served, rules);
  try {
    return { base: library, draft: buildDraft(library ? sourceOf(library) : starterOf(served), draft) };
  } catch (error) {
    if (!(error instanceof DraftInvalid)) throw error;
    throw invalid(
      error.mistakes.map(({ suggestions, ...m }) => ({
        ...m,
        ...(suggestions === undefined ? {} : { suggestions: [...suggestions] }),
      })),
    );
  }
}
