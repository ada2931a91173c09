/**
 * The columns of a squad's spreadsheet: one row a swimmer, one column for each thing that was asked, seen or measured.
 * A name is fixed (`ref`, `level`), or a family and a code of the rule set, with a side where the code has one:
 * `obs:head-held-high`, `obs:dropped-elbow-catch@left`, `m:stroke-rate`, `pain:shoulder@right`.
 */
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { nearest } from '../../knowledge/vocabulary.ts';
import {
  type DecimalMark,
  type Fault,
  type Read,
  readCodes,
  readMeasured,
  readNumber,
  readPool,
  readSeverity,
  readYesNo,
} from './cells.ts';
import { addEntry, type Draft, painEntry, setField } from './draft.ts';

/** Writes a cell into the draft of a row, or says why it cannot be read. */
export type Column = (draft: Draft, cell: string, mark: DecimalMark) => Fault | undefined;

type Reader = (cell: string, mark: DecimalMark) => Read<unknown>;

const asText: Reader = (cell) => ({ value: cell });
const asWord: Reader = (cell) => ({ value: cell.toLowerCase() });
const asCodes: Reader = (cell) => ({ value: readCodes(cell) });
const asCauses: Reader = (cell) => ({
  value: readCodes(cell).map((word) => {
    const [cause, side] = word.split('@');
    return side === undefined ? { cause } : { cause, side };
  }),
});

const FIXED: { readonly [name: string]: readonly [path: string, read: Reader] } = {
  ref: ['swimmer/ref', asText],
  level: ['swimmer/level', asWord],
  age: ['swimmer/age', readNumber],
  goal: ['swimmer/goal', asWord],
  'height-m': ['swimmer/heightM', readNumber],
  'arm-length-m': ['swimmer/armLengthM', readNumber],
  equipment: ['swimmer/equipment', asCodes],
  'deep-water': ['swimmer/deepWaterCompetent', readYesNo],
  'weeks-to-race': ['swimmer/weeksToRace', readNumber],
  'metres-per-week': ['swimmer/metresPerWeek', readNumber],
  'metres-per-week-before': ['swimmer/metresPerWeekBefore', readNumber],
  'health-asked': ['health/asked', readYesNo],
  signs: ['health/signs', asCodes],
  conditions: ['health/conditions', asCodes],
  'pregnancy-week': ['health/pregnancyWeek', readNumber],
  'clinician-agrees': ['health/clinicianAgrees', readYesNo],
  'minor-consent': ['health/minorConsentOnFile', readYesNo],
  views: ['recording/views', asCodes],
  cycles: ['recording/cycles', readNumber],
  pace: ['recording/pace', asWord],
  'pace-seconds-per-100': ['recording/paceSecondsPer100', readNumber],
  pool: ['recording/pool', readPool],
  suit: ['recording/suit', asWord],
  'frames-per-second': ['recording/framesPerSecond', readNumber],
  flags: ['recording/flags', asCodes],
  certainty: ['recording/defaults/certainty', asWord],
  focus: ['coach/focus', asCauses],
  remarks: ['coach/remarks', asText],
};

/** Where a row has nothing for an error to point at: the column that would hold it. */
export const FIXED_PLACES: ReadonlyMap<string, string> = new Map(
  Object.entries(FIXED).map(([name, [path]]) => [`/${path}`, name]),
);

function fixed(name: string, path: string, read: Reader): Column {
  return (draft, cell, mark) => {
    const result = read(cell, mark);
    if ('fault' in result) return result.fault;
    setField(draft, path, result.value, name);
    return undefined;
  };
}

interface Target {
  readonly name: string;
  readonly code: string;
  readonly side: string | undefined;
}

const withSide = ({ code, side }: Target) => (side === undefined ? { code } : { code, side });

function graded(target: Target, list: 'observations' | 'measurements'): Column {
  return (draft, cell, mark) => {
    const result = list === 'observations' ? readSeverity(cell) : readMeasured(cell, mark);
    if ('fault' in result) return result.fault;
    const { value, certainty } = result.value;
    const entry = { ...withSide(target), [list === 'observations' ? 'severity' : 'value']: value };
    addEntry(draft, list, certainty === undefined ? entry : { ...entry, certainty }, target.name);
    return undefined;
  };
}

function pain(target: Target, field: 'score' | 'features'): Column {
  return (draft, cell, mark) => {
    const result: Read<unknown> = field === 'score' ? readNumber(cell, mark) : { value: readCodes(cell) };
    if ('fault' in result) return result.fault;
    painEntry(draft, target.code, target.side, field, result.value, target.name);
    return undefined;
  };
}

type Sided = 'never' | 'may' | 'must';

interface Family {
  readonly what: string;
  readonly sides: readonly string[];
  known(ruleSet: RuleSet): ReadonlyMap<string, Sided>;
  column(target: Target): Column;
}

const sidedOf = (sided: boolean, when: Sided): Sided => (sided ? when : 'never');
const painSites = (ruleSet: RuleSet): ReadonlyMap<string, Sided> =>
  new Map(ruleSet.parts.lists.painSites.map((site) => [site, 'may']));

const FAMILIES: { readonly [prefix: string]: Family } = {
  obs: {
    what: 'observation',
    sides: ['left', 'right', 'both'],
    known: (r) => new Map([...r.observations].map(([code, o]) => [code, sidedOf(o.sided, 'must')])),
    column: (target) => graded(target, 'observations'),
  },
  m: {
    what: 'measurement',
    sides: ['left', 'right'],
    known: (r) => new Map([...r.measurements].map(([code, m]) => [code, sidedOf(m.sided, 'may')])),
    column: (target) => graded(target, 'measurements'),
  },
  pain: {
    what: 'pain site',
    sides: ['left', 'right'],
    known: painSites,
    column: (target) => pain(target, 'score'),
  },
  'pain-features': {
    what: 'pain site',
    sides: ['left', 'right'],
    known: painSites,
    column: (target) => pain(target, 'features'),
  },
};

const unknown = (name: string, known: readonly string[], what: string): HeaderFault => ({
  code: 'unknown-column',
  message: `"${name.slice(0, 80)}" is not a known ${what}`,
  suggestions: name.length > 80 ? [] : nearest(name, known),
});

export interface HeaderFault extends Fault {
  readonly suggestions?: readonly string[];
}

/** @param header as it stands in the first row. */
export function columnOf(header: string, ruleSet: RuleSet): { column: Column } | { fault: HeaderFault } {
  const name = header.trim().toLowerCase();
  const known = Object.hasOwn(FIXED, name) ? FIXED[name] : undefined;
  if (known !== undefined) return { column: fixed(name, ...known) };
  const [, prefix = '', code = '', , side] = /^([a-z-]+):([^@]*)(@(.*))?$/.exec(name) ?? [];
  const family = Object.hasOwn(FAMILIES, prefix) ? FAMILIES[prefix] : undefined;
  if (family === undefined)
    return {
      fault: unknown(name, [...Object.keys(FIXED), ...Object.keys(FAMILIES).map((f) => `${f}:`)], 'column'),
    };
  const codes = family.known(ruleSet);
  const sided = codes.get(code);
  if (sided === undefined) return { fault: unknown(code, [...codes.keys()], family.what) };
  if (side === undefined && sided === 'must')
    return { fault: { code: 'side-required', message: `"${name}" needs a side, such as ${name}@left` } };
  if (side !== undefined && (sided === 'never' || !family.sides.includes(side)))
    return {
      fault: {
        code: 'impossible-side',
        message: `"${name}": ${sided === 'never' ? 'it has no left and right' : `the side is ${family.sides.join(' or ')}`}`,
      },
    };
  return { column: family.column({ name, code, side }) };
}
