/** The rule set that a record asks for, or the error that says that it is not served. */
import type { ProblemError } from '../contract/problem.ts';
import type { Catalogue } from '../knowledge/catalogue.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { nearest } from '../knowledge/vocabulary.ts';

export interface Asked {
  readonly ruleSet: RuleSet | undefined;
  readonly errors: readonly ProblemError[];
}

/** @param at JSON Pointer of the record inside the body; empty for the body itself. */
export function ruleSetOf(record: unknown, catalogue: Catalogue, at = ''): Asked {
  const reference = (record as { ruleSet?: unknown } | null | undefined)?.ruleSet;
  // another type is the shape check's business; the words are then read with the default
  const name = typeof reference === 'string' ? reference : undefined;
  const ruleSet = catalogue.resolve(name);
  if (ruleSet !== undefined) return { ruleSet, errors: [] };
  const known = catalogue.names.flatMap((n) =>
    catalogue.versionsOf(n).map((s) => `${n}@${s.manifest.version}`),
  );
  const error = {
    pointer: `${at}/ruleSet`,
    code: 'unknown-rule-set',
    message: `no rule set "${name}" is served here`,
    suggestions: name === undefined ? known : nearest(name, known),
  };
  return { ruleSet: undefined, errors: [error] };
}
