/** Records of a squad, or a spreadsheet of them, to lanes. */
import { setImmediate } from 'node:timers/promises';
import { z } from 'zod';
import type { ProblemError } from '../../contract/problem.ts';
import { SquadRequest } from '../../contract/squad.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { checkVocabulary } from '../../knowledge/vocabulary.ts';
import { squadReport } from '../../report/squad.ts';
import { type Reading, readMember } from '../../squad/reading.ts';
import { formSquad } from '../../squad/squad.ts';
import { type Asked, ReportQuery, write } from '../forms.ts';
import { readBody, shapeErrors } from '../input.ts';
import { parseJson } from '../json.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import type { Posted } from './posted.ts';
import { readCsv } from './squad-csv.ts';

const CSV_ONLY = 'For text/csv only; in JSON it stands in the body.';
export const SquadQuery = z.strictObject({
  ...ReportQuery.shape,
  lanes: z.string().optional().describe(`Lanes at hand. ${CSV_ONLY}`),
  minutes: z.string().optional().describe(`Length of the session. ${CSV_ONLY}`),
  equipment: z
    .string()
    .max(400)
    .optional()
    .describe(`Codes of aids at hand, with commas between; none: nothing is at hand. ${CSV_ONLY}`),
  minSize: z.string().optional().describe(`Fewest swimmers in a group. ${CSV_ONLY}`),
  maxSize: z.string().optional().describe(`Most swimmers in a group. ${CSV_ONLY}`),
  ruleSet: z.string().max(120).optional().describe(`Rule set, as in a record. ${CSV_ONLY}`),
  decimal: z
    .enum(['point', 'comma'])
    .optional()
    .describe(`How decimals are written in the file; left out: point. ${CSV_ONLY}`),
});
export type SquadQuery = z.infer<typeof SquadQuery>;

export interface SquadTask extends Posted, Asked {
  readonly kind: 'squad';
  /** The body is a spreadsheet. */
  readonly csv: boolean;
  /** As sent: its mistakes are told together with those of the body. */
  readonly query: unknown;
}

type Body = { ruleSet?: unknown; equipment?: unknown; members?: unknown };

const membersOf = (body: unknown): unknown[] => {
  const { members } = (body ?? {}) as Body;
  return Array.isArray(members) ? members : [];
};

/** One rule set for all members. */
function oneRuleSet(body: unknown, catalogue: Catalogue) {
  const own = ruleSetOf(body, catalogue);
  const asked = membersOf(body).map((member, i) => ({
    at: `/members/${i}`,
    named: (member as Body | null)?.ruleSet !== undefined,
    ...ruleSetOf(member, catalogue, `/members/${i}`),
  }));
  const named = asked.filter((a) => a.named && a.ruleSet !== undefined);
  const first =
    (body as Body | null)?.ruleSet === undefined ? (named[0]?.ruleSet ?? own.ruleSet) : own.ruleSet;
  const others = named
    .filter((a) => first !== undefined && a.ruleSet !== first)
    .map((a) => ({
      pointer: `${a.at}/ruleSet`,
      code: 'other-rule-set',
      message: 'all members must use one rule set',
    }));
  return { ruleSet: first, errors: [...own.errors, ...asked.flatMap((a) => a.errors), ...others] };
}

function repeatedRefs(body: unknown): ProblemError[] {
  const seen = new Map<unknown, number>();
  return membersOf(body).flatMap((member, i) => {
    const ref = (member as { swimmer?: { ref?: unknown } | null } | null)?.swimmer?.ref;
    if (typeof ref !== 'string') return [];
    const first = seen.get(ref);
    if (first === undefined) {
      seen.set(ref, i);
      return [];
    }
    const message = `member ${first + 1} has the same reference`;
    return [{ pointer: `/members/${i}/swimmer/ref`, code: 'repeated-ref', message }];
  });
}

function unknownEquipment(body: unknown, ruleSet: RuleSet | undefined): ProblemError[] {
  if (ruleSet === undefined) return [];
  const { equipment } = (body ?? {}) as Body;
  return checkVocabulary({ swimmer: { equipment } }, ruleSet).map(
    (e) => ({ ...e, pointer: e.pointer.replace('/swimmer', '') }) as ProblemError,
  );
}

const csvOnly = (query: Omit<SquadQuery, 'audience'>): ProblemError[] =>
  Object.keys(query).map((name) => ({
    pointer: `/${name}`,
    code: 'csv-only',
    message: `"${name}" stands in the body of a JSON request`,
  }));

/** What can be used of a query with mistakes, so that one answer names those of the file as well. */
function knownOf(query: unknown): SquadQuery {
  const known = Object.entries(query as { [name: string]: unknown }).filter(
    ([name, value]) => Object.hasOwn(SquadQuery.shape, name) && typeof value === 'string',
  );
  return Object.fromEntries(known);
}

function readSquad(
  { bytes, csv: isCsv, query: sent }: SquadTask,
  catalogue: Catalogue,
): { squad: SquadRequest; ruleSet: RuleSet } {
  const { value, errors: wrong } = shapeErrors(SquadQuery, sent);
  const { audience: _, ...query } = wrong.length === 0 ? (value as SquadQuery) : knownOf(sent);
  const csv = isCsv ? readCsv(bytes, query, catalogue) : undefined;
  const body = csv === undefined ? parseJson(bytes) : csv.body;
  const { ruleSet, errors } = oneRuleSet(body, catalogue);
  const more = [
    ...wrong,
    ...errors,
    ...repeatedRefs(body),
    ...unknownEquipment(body, ruleSet),
    ...(csv?.errors ?? csvOnly(query)),
  ];
  const squad = readBody(SquadRequest, body, ruleSet, more, { locate: csv?.locate });
  return { squad, ruleSet: ruleSet as RuleSet };
}

export async function squadTask(task: SquadTask, catalogue: Catalogue): Promise<string> {
  const { squad, ruleSet } = readSquad(task, catalogue);
  const readings: Reading[] = [];
  for (const member of squad.members) {
    readings.push(await readMember(member, squad, ruleSet));
    // where there are no threads, a large squad must not keep other requests waiting
    await setImmediate();
  }
  const answer = await formSquad(squad, readings, ruleSet);
  return write(task, answer, () => squadReport(answer, task.audience, ruleSet));
}
