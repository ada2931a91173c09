/** What one cell of a spreadsheet may hold. A cell that cannot be read without guessing is refused. */

export type DecimalMark = 'point' | 'comma';

export interface Fault {
  readonly code: string;
  readonly message: string;
}

/** A value, or why there is none. */
export type Read<T> = { readonly value: T } | { readonly fault: Fault };

const fault = (code: string, message: string): { fault: Fault } => ({ fault: { code, message } });

const NUMBERS: Readonly<Record<DecimalMark, RegExp>> = { point: /^-?\d+(\.\d+)?$/, comma: /^-?\d+(,\d+)?$/ };
const OTHER: Readonly<Record<DecimalMark, DecimalMark>> = { point: 'comma', comma: 'point' };

/** Thousands marks, units and formulas are no part of a number. */
export function readNumber(cell: string, mark: DecimalMark): Read<number> {
  if (NUMBERS[mark].test(cell)) return { value: Number(cell.replace(',', '.')) };
  if (NUMBERS[OTHER[mark]].test(cell))
    return fault(
      'decimal-mark',
      `decimals of this file are written with a ${mark}; say decimal=${OTHER[mark]} in the address for the other mark`,
    );
  return fault('wrong-form', 'must be a number and nothing else');
}

const YES_NO: Readonly<Record<string, boolean>> = { yes: true, true: true, no: false, false: false };

export function readYesNo(cell: string): Read<boolean> {
  const value = YES_NO[cell.toLowerCase()];
  return value === undefined ? fault('wrong-form', 'must be yes or no') : { value };
}

/** Codes hold neither spaces nor marks, so any of these may stand between them. */
export function readCodes(cell: string): string[] {
  const words = cell
    .toLowerCase()
    .split(/[\s,;|]+/)
    .filter((word) => word !== '');
  return words.length === 1 && words[0] === 'none' ? [] : words;
}

export function readPool(cell: string): Read<{ length: number; unit: string } | null> {
  const words = cell.toLowerCase();
  if (words === 'open water' || words === 'open-water') return { value: null };
  const [, length, unit] = /^(\d+)\s*(m|yd)$/.exec(words) ?? [];
  return length === undefined || unit === undefined
    ? fault('wrong-form', 'must be a length with its unit, such as 25 m or 25 yd, or open water')
    : { value: { length: Number(length), unit } };
}

export interface Graded<T> {
  readonly value: T;
  readonly certainty: string | undefined;
}

const CERTAINTY = /\s+(sure|likely|unsure)$/i;

function graded<T>(cell: string, read: (rest: string) => Read<T>): Read<Graded<T>> {
  const certainty = CERTAINTY.exec(cell)?.[1]?.toLowerCase();
  const result = read(cell.replace(CERTAINTY, ''));
  return 'fault' in result ? result : { value: { value: result.value, certainty } };
}

/** `2`, or `2 sure`. */
export function readSeverity(cell: string): Read<Graded<number>> {
  return graded(cell, (rest) =>
    /^[0-3]$/.test(rest)
      ? { value: Number(rest) }
      : fault('wrong-form', 'must be 0, 1, 2 or 3, alone or with sure, likely or unsure'),
  );
}

/** `14.5`, or `14.5 likely`. */
export function readMeasured(cell: string, mark: DecimalMark): Read<Graded<number>> {
  return graded(cell, (rest) => readNumber(rest, mark));
}
