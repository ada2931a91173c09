/** A squad that comes as text/csv: the file in the body, everything else in the address. */
import type { ProblemError } from '../../contract/problem.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { NotATable, readTable } from '../../squad/spreadsheet/read.ts';
import { HttpProblem } from '../problems.ts';
import type { SquadQuery } from './squad.ts';

/** A whole number as a number; anything else stays as it is for the schema to refuse. */
const whole = (text: string): unknown => (/^\d{1,6}$/.test(text) ? Number(text) : text);

export interface CsvSquad {
  /** In the shape of a squad request, not yet checked. */
  readonly body: unknown;
  readonly errors: readonly ProblemError[];
  readonly locate: (error: ProblemError) => ProblemError;
}

function decode(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new HttpProblem('malformed-csv', { detail: 'The file is not UTF-8.' });
  }
}

/** @throws HttpProblem `malformed-csv` when the file is no CSV in UTF-8, with or without a byte order mark. */
export function readCsv(bytes: Uint8Array, query: SquadQuery, catalogue: Catalogue): CsvSquad {
  // an unknown rule set is told with the body; its words are then those of the default
  const ruleSet = (catalogue.resolve(query.ruleSet) ?? catalogue.resolve(undefined)) as RuleSet;
  const table = tableOf(decode(bytes), ruleSet, query);
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
