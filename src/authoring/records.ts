/** Records that come with a draft or a case, read with the words of a rule set. */
import { AssessmentRequest } from '../contract/request.ts';
import { pointerOf } from '../knowledge/errors.ts';
import { describeIssue } from '../knowledge/issues.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { checkVocabulary, type InputError } from '../knowledge/vocabulary.ts';
import { measure } from '../measure/measure.ts';

/** @returns what this rule set cannot read in a record of a valid shape; raw data count as their measurements. */
export function unreadable(request: AssessmentRequest, ruleSet: RuleSet): InputError[] {
  const words = checkVocabulary(request, ruleSet);
  if (request.raw === undefined) return words;
  const { measurements } = measure(request.raw, ruleSet);
  return [...words, ...checkVocabulary({ measurements }, ruleSet).map((e) => ({ ...e, pointer: '/raw' }))];
}

/**
 * @param record a value of any shape.
 * @param at where the record stands in the request.
 * @returns every mistake in it; empty when it can be assessed.
 */
export function recordMistakes(
  record: unknown,
  ruleSet: RuleSet,
  at: readonly (string | number)[],
): InputError[] {
  const base = pointerOf(at);
  const parsed = AssessmentRequest.safeParse(record, { reportInput: true });
  const errors: InputError[] = parsed.success
    ? unreadable(parsed.data, ruleSet)
    : [
        ...parsed.error.issues
          .flatMap(describeIssue)
          .map(({ path, code, message }) => ({ pointer: pointerOf(path), code, message })),
        ...checkVocabulary(record, ruleSet),
      ];
  const told = new Set<string>();
  return errors
    .filter((e) => !told.has(e.pointer) && told.add(e.pointer))
    .map((e) => ({ ...e, pointer: base + e.pointer }));
}
