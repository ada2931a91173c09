/** From a draft in a request to a rule set that answers, or to every mistake that keeps it from being one. */
import { checkRuleSet } from '../../knowledge/check.ts';
import { compileRuleSet, type RuleSet } from '../../knowledge/rule-set.ts';
import type { Case } from '../cases.ts';
import { recordMistakes } from '../records.ts';
import { inspect } from './inspect.ts';
import { conditionsWrittenOut, LIMITS } from './limits.ts';
import { DraftInvalid, type DraftMistake } from './mistakes.ts';
import { type Draft, type Overlaid, overlay, type Source, type Touch } from './overlay.ts';
import { LIST_PARTS } from './parts.ts';
import { placed } from './place.ts';

/** A rule set with its case library. */
export interface Library {
  readonly ruleSet: RuleSet;
  readonly cases: readonly Case[];
}

export interface BuiltDraft extends Library {
  readonly touched: Overlaid['touched'];
}

export const sourceOf = ({ ruleSet, cases }: Library): Source => ({
  manifest: ruleSet.manifest,
  parts: ruleSet.parts,
  texts: ruleSet.texts,
  cases,
});

function tooLarge({ parts, cases }: Source): DraftMistake[] {
  const mistakes: DraftMistake[] = [];
  const most = (part: string, count: number, limit: number): void => {
    if (count > limit)
      mistakes.push({
        pointer: `/draft/upsert/${part}`,
        code: 'too-big',
        message: `${part} may hold at most ${limit} entries, not ${count}`,
      });
  };
  for (const part of LIST_PARTS.keys()) {
    const entries = part === 'cases' ? cases : (parts[part as keyof typeof parts] as unknown as unknown[]);
    most(part, entries.length, part === 'cases' ? LIMITS.cases : LIMITS.entries);
  }
  if (mistakes.length > 0) return mistakes;
  const conditions = conditionsWrittenOut(parts);
  if (conditions <= LIMITS.conditions) return [];
  const message = `the rules come to ${conditions} conditions once written out for every drill and arm; at most ${LIMITS.conditions}`;
  return [{ pointer: '/draft/upsert', code: 'too-big', message }];
}

/** The records of the draft's own cases, read with the words of the draft. */
function caseMistakes(
  cases: readonly Case[],
  touched: Overlaid['touched'],
  ruleSet: RuleSet,
): DraftMistake[] {
  const own: ReadonlyMap<string, Touch> = touched.get('cases') ?? new Map<string, Touch>();
  return cases.flatMap((c) => {
    const touch = own.get(c.id);
    return touch === undefined ? [] : recordMistakes(c.request, ruleSet, [...touch.path, 'request']);
  });
}

function refuse(mistakes: readonly DraftMistake[]): void {
  if (mistakes.length === 0) return;
  const told = mistakes.slice(0, LIMITS.mistakes);
  const more = mistakes.length - told.length;
  const rest = { pointer: '/draft', code: 'more-mistakes', message: `and ${more} more mistakes` };
  throw new DraftInvalid(more === 0 ? told : [...told, rest]);
}

/**
 * @param source what the draft stands on.
 * @throws DraftInvalid with every mistake that can be told at once.
 */
export function buildDraft(source: Source, draft: Draft): BuiltDraft {
  refuse(inspect(draft, ['draft']));
  const over = overlay(source, draft);
  const large = tooLarge(over.source);
  if (large.length > 0) refuse([...large, ...over.mistakes]);
  const { manifest, parts, texts, cases } = over.source;
  const { published: _published, ...head } = manifest;
  refuse([...over.mistakes, ...placed(checkRuleSet(parts, texts), over, draft.upsert ?? {})]);
  const ruleSet = compileRuleSet(
    { ...head, version: `${manifest.version}-draft`, status: 'draft' },
    parts,
    texts,
  );
  refuse(caseMistakes(cases, over.touched, ruleSet));
  return { ruleSet, cases, touched: over.touched };
}
