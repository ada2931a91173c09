/** Reads what a rule author wrote against the schema of its kind, and says what is wrong in the author's own terms. */
import type { z } from 'zod';
import { OPERATOR_NAMES } from '../engine/operators.ts';
import { describeIssue, type Mistake } from './issues.ts';
import { nearest } from './vocabulary.ts';

/** No entry of a rule set needs more levels; the schemas recurse, and deep nesting would overflow them. */
export const MAX_DEPTH = 16;

export interface AuthorMistake extends Mistake {
  readonly suggestions?: readonly string[];
}

/** Deepest nesting of a value, found without recursion. */
export function depthOf(value: unknown): number {
  let level = [value];
  let depth = 0;
  for (;;) {
    level = level.flatMap((v) => (v !== null && typeof v === 'object' ? Object.values(v) : []));
    if (level.length === 0) return depth;
    depth++;
  }
}

function valueAt(raw: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce((value, key) => (value as { [k: PropertyKey]: unknown } | undefined)?.[key], raw);
}

/** The mistakes that an author of rules makes have names and pages of their own. */
function named(mistake: Mistake, raw: unknown): AuthorMistake {
  const field = mistake.path.at(-1);
  const written = valueAt(raw, mistake.path);
  const missing = mistake.code === 'required' || mistake.code === 'too-small';
  if (field === 'operator' && mistake.code === 'not-allowed') {
    const name = typeof written === 'string' ? `"${written}"` : 'this';
    return {
      ...mistake,
      code: 'unknown-operator',
      message: `${name} is not an operator`,
      suggestions: typeof written === 'string' ? nearest(written, OPERATOR_NAMES) : OPERATOR_NAMES,
    };
  }
  if (field === 'rationale' && missing)
    return { ...mistake, code: 'no-rationale', message: 'a rule needs a rationale: why a coach believes it' };
  if (field === 'mark' && (missing || mistake.code === 'wrong-form'))
    return {
      ...mistake,
      code: 'no-mark',
      message: missing ? 'must say where the entry comes from' : mistake.message,
    };
  return mistake;
}

/** @returns the value, or every mistake in it; never throws, however the value is nested. */
export function readShape<T extends z.ZodType>(
  schema: T,
  raw: unknown,
): { readonly value: z.infer<T> | undefined; readonly mistakes: readonly AuthorMistake[] } {
  if (depthOf(raw) > MAX_DEPTH)
    return {
      value: undefined,
      mistakes: [{ path: [], code: 'too-deep', message: `is nested more than ${MAX_DEPTH} levels deep` }],
    };
  const parsed = schema.safeParse(raw, { reportInput: true });
  if (parsed.success) return { value: parsed.data, mistakes: [] };
  const mistakes = parsed.error.issues.flatMap(describeIssue).map((m) => named(m, raw));
  return { value: undefined, mistakes };
}
