/** A squad that comes as text/csv: the file in the body, everything else in the address. */
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { ProblemError } from '../contract/problem.ts';
import type { Catalogue } from '../knowledge/catalogue.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { NotATable, readTable } from '../squad/spreadsheet/read.ts';
import { HttpProblem } from './problems.ts';
import type { SquadQuery } from './routes/squads.ts';

/** Types of body that a squad comes in. */
export const SQUAD_TYPES = 'application/json, text/csv';

const CHARSET = /;\s*charset\s*=\s*"?([^";\s]+)/i;

/** Reads text/csv (RFC 7111) as UTF-8, with or without a byte order mark. */
export function csvBody(app: FastifyInstance): void {
  app.addContentTypeParser('text/csv', { parseAs: 'buffer' }, (request, body, done) => {
    const charset = CHARSET.exec(request.headers['content-type'] ?? '')?.[1]?.toLowerCase() ?? 'utf-8';
    if (charset !== 'utf-8' && charset !== 'us-ascii') {
      done(
        new HttpProblem('unsupported-media-type', {
          detail: `CSV is read as UTF-8, not as ${charset}.`,
          headers: { 'accept-post': SQUAD_TYPES },
        }),
      );
      return;
    }
    try {
      done(null, new TextDecoder('utf-8', { fatal: true }).decode(body as Buffer));
    } catch {
      done(new HttpProblem('malformed-csv', { detail: 'The file is not UTF-8.' }));
    }
  });
}

export const isCsv = (request: FastifyRequest): boolean =>
  typeof request.body === 'string' &&
  (request.headers['content-type'] ?? '').trim().toLowerCase().startsWith('text/csv');

/** A whole number as a number; anything else stays as it is for the schema to refuse. */
const whole = (text: string): unknown => (/^\d{1,6}$/.test(text) ? Number(text) : text);

export interface CsvSquad {
  /** In the shape of a squad request, not yet checked. */
  readonly body: unknown;
  readonly errors: readonly ProblemError[];
  readonly locate: (error: ProblemError) => ProblemError;
}

/** @throws HttpProblem `malformed-csv` when the text is no CSV. */
export function readCsv(text: string, query: SquadQuery, catalogue: Catalogue): CsvSquad {
  // an unknown rule set is told with the body; its words are then those of the default
  const ruleSet = (catalogue.resolve(query.ruleSet) ?? catalogue.resolve(undefined)) as RuleSet;
  const table = tableOf(text, ruleSet, query);
  const { lanes, minutes, equipment, minSize, maxSize } = query;
  const groupSize = {
    ...(minSize === undefined ? {} : { min: whole(minSize) }),
    ...(maxSize === undefined ? {} : { max: whole(maxSize) }),
  };
  return {
    body: {
      ...(lanes === undefined ? {} : { lanes: whole(lanes) }),
      ...(minutes === undefined ? {} : { minutes: whole(minutes) }),
      ...(equipment === undefined
        ? {}
        : { equipment: equipment === 'none' ? [] : equipment.split(',').map((e) => e.trim()) }),
      ...(query.ruleSet === undefined ? {} : { ruleSet: query.ruleSet }),
      ...(Object.keys(groupSize).length === 0 ? {} : { options: { groupSize } }),
      members: table.members,
    },
    errors: table.errors as ProblemError[],
    locate: (error) => (error.row === undefined ? { ...error, ...table.placeOf(error.pointer) } : error),
  };
}

function tableOf(text: string, ruleSet: RuleSet, { decimal = 'point' }: SquadQuery) {
  try {
    return readTable(text, ruleSet, decimal);
  } catch (error) {
    if (error instanceof NotATable) throw new HttpProblem('malformed-csv', { detail: error.message });
    throw error;
  }
}
