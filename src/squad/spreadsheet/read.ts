/**
 * A squad from a spreadsheet saved as CSV (RFC 4180): a header row, then one row a swimmer. Every mistake has its row, as
 * the spreadsheet counts it, and its column.
 */
import { CsvError, parse } from 'csv-parse/sync';
import { SQUAD_LIMITS } from '../../contract/squad.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { DecimalMark } from './cells.ts';
import { type Column, columnOf, FIXED_PLACES } from './columns.ts';
import { type Draft, newDraft } from './draft.ts';

/** A mistake in the file; the pointer leads into the JSON that the file stands for. */
export interface TableError {
  readonly pointer: string;
  readonly code: string;
  readonly message: string;
  readonly row: number;
  readonly column?: string;
  readonly suggestions?: readonly string[];
}

export interface Table {
  /** In the shape of squad members, not yet checked. */
  readonly members: readonly unknown[];
  readonly errors: readonly TableError[];
  /** Where a field of the JSON stands in the file. */
  placeOf(pointer: string): { row: number; column?: string } | undefined;
}

export class NotATable extends Error {}

const MOST_COLUMNS = 1000;
/** Characters; the longest remarks and a cell for every word of a rule set fit in easily. */
const LONGEST_ROW = 262_144;

/** No name of a column holds one of these marks, so the header itself says which one the file uses. */
function separatorOf(text: string): string {
  const header = /^[^\r\n]*/.exec(text)?.[0] ?? '';
  return header.includes(';') ? ';' : header.includes('\t') ? '\t' : ',';
}

function rowsOf(text: string): string[][] {
  try {
    return parse(text, {
      delimiter: separatorOf(text),
      // rows of another length are told with their place, not thrown
      relax_column_count: true,
      // one row more than may be read shows that there are too many
      to: SQUAD_LIMITS.members + 2,
      max_record_size: LONGEST_ROW,
    });
  } catch (error) {
    if (error instanceof CsvError) throw new NotATable(error.message);
    throw error;
  }
}

interface Header {
  readonly columns: readonly (Column | undefined)[];
  readonly errors: readonly TableError[];
}

function readHeader(names: readonly string[], ruleSet: RuleSet): Header {
  const errors: TableError[] = [];
  const seen = new Set<string>();
  const columns = names.map((header): Column | undefined => {
    const name = header.trim().toLowerCase();
    if (name === '') return undefined;
    const place = { pointer: '', row: 1, column: header.slice(0, 100) };
    const found = columnOf(header, ruleSet);
    if ('fault' in found) errors.push({ ...place, ...found.fault });
    else if (seen.has(name))
      errors.push({ ...place, code: 'repeated-column', message: `"${name}" is there twice` });
    seen.add(name);
    return 'column' in found ? found.column : undefined;
  });
  return { columns, errors };
}

interface Row {
  readonly number: number;
  readonly draft: Draft;
}

function readRow(
  cells: readonly string[],
  names: readonly string[],
  columns: readonly (Column | undefined)[],
  at: { readonly row: number; readonly pointer: string },
  mark: DecimalMark,
): { draft: Draft; errors: TableError[] } {
  const draft = newDraft();
  const errors: TableError[] = [];
  const spare = cells.slice(names.length).some((cell) => cell.trim() !== '');
  if (cells.length < names.length || spare) {
    const message = `has ${cells.length} cells where the header has ${names.length}`;
    errors.push({ ...at, code: 'wrong-length', message });
  }
  names.forEach((name, c) => {
    const cell = (cells[c] ?? '').trim();
    if (cell === '') return;
    if (name.trim() === '') {
      const message = `cell ${c + 1} has no name in the header`;
      errors.push({ ...at, code: 'unknown-column', message });
      return;
    }
    const fault = columns[c]?.(draft, cell, mark);
    if (fault !== undefined) errors.push({ ...at, column: name.trim(), ...fault });
  });
  return { draft, errors };
}

/** The longest known pointer that leads to this place. */
function columnAt(pointer: string, { places }: Draft): string | undefined {
  for (let part = pointer; part !== ''; part = part.slice(0, part.lastIndexOf('/'))) {
    const column = places.get(part) ?? FIXED_PLACES.get(part);
    if (column !== undefined) return column;
  }
  return undefined;
}

/**
 * @param text without a byte order mark.
 * @throws NotATable when the text is no CSV at all, such as an open quotation mark.
 */
export function readTable(text: string, ruleSet: RuleSet, mark: DecimalMark): Table {
  const [names, ...rest] = rowsOf(text);
  if (names === undefined) throw new NotATable('The body is empty.');
  if (names.length > MOST_COLUMNS) throw new NotATable(`At most ${MOST_COLUMNS} columns are read.`);
  const header = readHeader(names, ruleSet);
  const errors = [...header.errors];
  const rows: Row[] = [];
  rest.forEach((cells, r) => {
    if (cells.every((cell) => cell.trim() === '')) return;
    const number = r + 2;
    const at = { row: number, pointer: `/members/${rows.length}` };
    const { draft, errors: more } = readRow(cells, names, header.columns, at, mark);
    errors.push(...more);
    rows.push({ number, draft });
  });
  return {
    members: rows.map((row) => row.draft.member),
    errors,
    placeOf(pointer) {
      const [, index, inside = ''] = /^\/members\/(\d+)(\/.*)?$/.exec(pointer) ?? [];
      const row = index === undefined ? undefined : rows[Number(index)];
      if (row === undefined) return undefined;
      const column = columnAt(inside, row.draft);
      return column === undefined ? { row: row.number } : { row: row.number, column };
    },
  };
}
