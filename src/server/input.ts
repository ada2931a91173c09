/** Turns what a schema or a rule set says about a body into one list of errors with JSON Pointers. */
import type { z } from 'zod';
import type { ProblemError } from '../contract/problem.ts';
import type { RawData } from '../contract/raw-data.ts';
import { pointerOf } from '../knowledge/errors.ts';
import { describeIssue } from '../knowledge/issues.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { checkVocabulary } from '../knowledge/vocabulary.ts';
import { measureOnce } from '../measure/once.ts';
import { HttpProblem } from './problems.ts';

function issueErrors(issue: z.core.$ZodIssue): ProblemError[] {
  return describeIssue(issue).map(({ path, code, message }) => ({ pointer: pointerOf(path), code, message }));
}

/** Texts with half of a surrogate pair have no UTF-8 form, so no digest either. */
function brokenTexts(value: unknown, path: readonly PropertyKey[] = []): ProblemError[] {
  if (typeof value === 'string') {
    return value.isWellFormed()
      ? []
      : [{ pointer: pointerOf(path), code: 'wrong-form', message: 'must be well-formed Unicode' }];
  }
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, v]) => {
    const own = brokenTexts(key, [...path, key]);
    return own.length > 0 ? own : brokenTexts(v, [...path, key]);
  });
}

export interface RecordAt {
  readonly record: unknown;
  /** JSON Pointer of the record inside the body. */
  readonly at: string;
}

/** The records inside a body: the body itself, those of a comparison, or those of a squad. */
function recordsIn(body: unknown): RecordAt[] {
  const { records, members } = (body ?? {}) as { records?: unknown; members?: unknown };
  if (Array.isArray(members)) return members.map((record, i) => ({ record, at: `/members/${i}` }));
  if (!Array.isArray(records)) return [{ record: body, at: '' }];
  return records.map((r, i) => ({
    record: (r as { request?: unknown } | null)?.request,
    at: `/records/${i}/request`,
  }));
}

/**
 * What the raw data of a record come out as has to be possible too: they are refused as their measurements would be.
 * @param records of a valid shape
 */
function impossibleRaw(records: readonly RecordAt[], ruleSet: RuleSet): ProblemError[] {
  return records.flatMap(({ record, at }) => {
    const { raw } = record as { raw?: RawData };
    if (raw === undefined) return [];
    const { measurements, messages } = measureOnce(raw, ruleSet);
    return (checkVocabulary({ measurements }, ruleSet) as ProblemError[]).map((e) => {
      // the pointer leads into the list of what was measured; its warning says where to look in the raw data
      const code = measurements[Number(e.pointer.split('/')[2])]?.code;
      const why = messages.find((m) => m.severity === 'warning' && m.about.code === code)?.text;
      return { ...e, pointer: `${at}/raw`, message: why === undefined ? e.message : `${e.message}: ${why}` };
    });
  });
}

/** An error of the rule set's words is not repeated where the shape is already wrong. */
function merge(shape: readonly ProblemError[], words: readonly ProblemError[]): ProblemError[] {
  const told = new Set(shape.map((e) => e.pointer));
  return [...shape, ...words.filter((e) => !told.has(e.pointer))];
}

export function shapeErrors(schema: z.ZodType, input: unknown): { value: unknown; errors: ProblemError[] } {
  const parsed = schema.safeParse(input, { reportInput: true });
  return parsed.success
    ? { value: parsed.data, errors: [] }
    : { value: undefined, errors: parsed.error.issues.flatMap(issueErrors) };
}

export interface Reading {
  /** Where the records stand in the body. */
  readonly find?: (body: unknown) => readonly RecordAt[];
  /** Adds to an error where it stands in the form in which the body was sent. */
  readonly locate?: ((error: ProblemError) => ProblemError) | undefined;
}

/**
 * Reads a body against its schema and the words of a rule set.
 *
 * @param ruleSet undefined when the body asks for one that is not served; `more` then says so.
 * @throws HttpProblem `invalid-request` with every mistake.
 */
export function readBody<T extends z.ZodType>(
  schema: T,
  body: unknown,
  ruleSet: RuleSet | undefined,
  more: readonly ProblemError[] = [],
  { find = recordsIn, locate = (error) => error }: Reading = {},
): z.infer<T> {
  const { value, errors } = shapeErrors(schema, body);
  const words =
    ruleSet === undefined
      ? []
      : find(body).flatMap(({ record, at }) =>
          checkVocabulary(record, ruleSet).map((e) => ({ ...e, pointer: at + e.pointer })),
        );
  const all = merge(errors, [...more, ...(words as ProblemError[]), ...brokenTexts(body)]);
  if (all.length > 0) throw invalid(all.map(locate));
  const impossible = ruleSet === undefined ? [] : impossibleRaw(find(value), ruleSet);
  if (impossible.length > 0) throw invalid(impossible.map(locate));
  return value as z.infer<T>;
}

/** @throws HttpProblem `invalid-request` that names each wrong parameter. */
export function readQuery<T extends z.ZodType>(schema: T, query: unknown): z.infer<T> {
  const { value, errors } = shapeErrors(schema, query);
  if (errors.length > 0) throw invalid(errors);
  return value as z.infer<T>;
}

/** More mistakes than anybody mends at once; a hostile body of a few megabytes could hold millions. */
const MOST_ERRORS = 1000;

export function invalid(errors: readonly ProblemError[]): HttpProblem {
  const n = errors.length;
  const listed = n > MOST_ERRORS ? ` The first ${MOST_ERRORS} are listed.` : '';
  return new HttpProblem('invalid-request', {
    detail: `${n} ${n === 1 ? 'thing is' : 'things are'} wrong with the request.${listed}`,
    errors: errors.slice(0, MOST_ERRORS),
  });
}
