/** What a schema says about a value, in words that whoever typed it understands. */
import type { z } from 'zod';

type Issue = z.core.$ZodIssue;

export interface Mistake {
  readonly path: readonly PropertyKey[];
  readonly code: string;
  readonly message: string;
}

const TYPES: Readonly<Record<string, string>> = {
  object: 'an object',
  record: 'an object',
  array: 'a list',
  tuple: 'a list',
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

function lengthWord(origin: string): string {
  return origin === 'string' ? ' characters' : origin === 'array' || origin === 'set' ? ' entries' : '';
}

/** What the schema itself says to a value that fits none of its forms. */
const ownWords = ({ message }: Issue): string | undefined =>
  message === 'Invalid input' ? undefined : message;

/** Fields that the form does not have: the surest sign that another form was meant. */
const strange = (mistakes: readonly Mistake[]): number =>
  mistakes.filter((m) => m.path.length === 1 && m.code === 'unknown-field').length;

/** The value is not of that form at all, as against one of that form with something wrong inside. */
function alien(mistakes: readonly Mistake[], value: unknown): boolean {
  if (mistakes.some((m) => m.path.length === 0 && m.code === 'wrong-type')) return true;
  const fields = value !== null && typeof value === 'object' ? Object.keys(value).length : 0;
  return fields > 0 && strange(mistakes) === fields;
}

/** What is wrong with the form that the value comes nearest to. */
function nearestForm(issue: Extract<Issue, { code: 'invalid_union' }>): Mistake[] | undefined {
  const byDistance = (a: readonly Mistake[], b: readonly Mistake[]): number =>
    strange(a) - strange(b) || a.length - b.length;
  const [first, second] = issue.errors
    .map((issues) => issues.flatMap((inner) => describeIssue(inner as Issue)))
    .filter((mistakes) => mistakes.length > 0 && !alien(mistakes, issue.input))
    .sort(byDistance);
  // two forms that fit equally badly say nothing about what was meant
  if (first === undefined || (second !== undefined && byDistance(first, second) === 0)) return undefined;
  return first.map((m) => ({ ...m, path: [...issue.path, ...m.path] }));
}

/** @param issue as zod reports it with `reportInput`. @returns one mistake for each thing to mend. */
export function describeIssue(issue: Issue): Mistake[] {
  const { path } = issue;
  const mistake = (code: string, message: string): Mistake[] => [{ path, code, message }];
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) => ({
        path: [...path, key],
        code: 'unknown-field',
        message: `"${key}" is not a field here`,
      }));
    case 'invalid_type':
      return issue.input === undefined
        ? mistake('required', 'is required')
        : mistake('wrong-type', `must be ${TYPES[issue.expected] ?? issue.expected}`);
    case 'invalid_value':
      if (issue.input === undefined) return mistake('required', 'is required');
      return mistake(
        'not-allowed',
        `must be one of ${issue.values.map((v) => JSON.stringify(v)).join(', ')}`,
      );
    case 'too_small':
      return mistake('too-small', `must be at least ${issue.minimum}${lengthWord(issue.origin)}`);
    case 'too_big':
      return mistake('too-big', `must be at most ${issue.maximum}${lengthWord(issue.origin)}`);
    case 'invalid_format':
      return mistake('wrong-form', issue.message);
    case 'invalid_key':
      return mistake('wrong-form', issue.issues.map((inner) => inner.message).join('; '));
    case 'invalid_union':
      return nearestForm(issue) ?? mistake('wrong-type', ownWords(issue) ?? 'has none of the allowed forms');
    default: {
      // checks across fields say themselves what kind of mistake it is
      const code = issue.code === 'custom' ? issue.params?.code : undefined;
      return mistake(typeof code === 'string' ? code : 'not-allowed', issue.message);
    }
  }
}
