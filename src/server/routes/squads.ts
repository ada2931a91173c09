/** POST /v1/squads: JSON, or a spreadsheet saved as CSV. */
import { setImmediate } from 'node:timers/promises';
import type { FastifyPluginAsync, FastifyRequest } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { z } from 'zod';
import type { ProblemError } from '../../contract/problem.ts';
import { SQUAD_LIMITS, SquadAnswer, SquadRequest } from '../../contract/squad.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { checkVocabulary } from '../../knowledge/vocabulary.ts';
import type { Audience } from '../../report/audience.ts';
import { squadReport } from '../../report/squad.ts';
import { type Reading, readMember } from '../../squad/reading.ts';
import { formSquad } from '../../squad/squad.ts';
import { readBody, shapeErrors } from '../input.ts';
import { csvBody, isCsv, readCsv, SQUAD_TYPES } from '../squad-csv.ts';
import { formOf, REPORT_CONTENT, ReportQuery, sendReport } from './forms.ts';
import { problemResponses } from './responses.ts';
import { ruleSetOf } from './rule-set-of.ts';

/** A squad is many records: so many times the largest body of one record may it be. */
const BODY_FACTOR = 8;

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
  request: FastifyRequest,
  catalogue: Catalogue,
): { squad: SquadRequest; ruleSet: RuleSet; audience: Audience } {
  const { value, errors: wrong } = shapeErrors(SquadQuery, request.query);
  const { audience = 'coach', ...query } =
    wrong.length === 0 ? (value as SquadQuery) : knownOf(request.query);
  const csv = isCsv(request) ? readCsv(request.body as string, query, catalogue) : undefined;
  const body = csv === undefined ? request.body : csv.body;
  const { ruleSet, errors } = oneRuleSet(body, catalogue);
  const more = [
    ...wrong,
    ...errors,
    ...repeatedRefs(body),
    ...unknownEquipment(body, ruleSet),
    ...(csv?.errors ?? csvOnly(query)),
  ];
  const squad = readBody(SquadRequest, body, ruleSet, more, { locate: csv?.locate });
  return { squad, ruleSet: ruleSet as RuleSet, audience };
}

export const squads =
  (catalogue: Catalogue, bodyLimit: number): FastifyPluginAsync =>
  async (app) => {
    csvBody(app);
    app.post(
      '/v1/squads',
      {
        bodyLimit: BODY_FACTOR * bodyLimit,
        config: { scope: 'assess', reads: SQUAD_TYPES },
        validatorCompiler: () => (value: unknown) => ({ value }),
        schema: {
          operationId: 'squad',
          tags: ['Assess'],
          summary: 'Group a squad into lanes',
          description: `Send the records of up to ${SQUAD_LIMITS.members} swimmers, the lanes and the minutes; get groups with a shared focus, one session for each, and notes for every swimmer: why in this lane, which side, which cue, what to leave out and do instead, what to mind. Pain and stop cases stand apart with the reason. As text/csv the squad is a spreadsheet with one row a swimmer, and lanes and minutes stand in the address.`,
          body: {
            content: {
              'application/json': { schema: SquadRequest },
              'text/csv': {
                schema: z
                  .string()
                  .describe('A header row, then one row a swimmer; see the guide for integrators.'),
              },
            },
          },
          querystring: SquadQuery,
          response: {
            200: {
              description: 'The groups, and who stands apart.',
              content: { 'application/json': { schema: SquadAnswer }, ...REPORT_CONTENT },
            },
            ...problemResponses(400, 406, 408, 413, 415, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const form = formOf(request);
        const { squad, ruleSet, audience } = readSquad(request, catalogue);
        const readings: Reading[] = [];
        for (const member of squad.members) {
          readings.push(await readMember(member, squad, ruleSet));
          // a large squad must not keep other requests waiting
          await setImmediate();
        }
        const answer = await formSquad(squad, readings, ruleSet);
        reply.header('cache-control', 'no-store').header('vary', 'Accept');
        if (form === 'application/json') return reply.send(answer);
        return sendReport(reply, form, squadReport(answer, audience, ruleSet), `squad-${audience}`);
      },
    );
  };
