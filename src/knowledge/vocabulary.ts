/**
 * Checks a record against the words of a rule set: codes, sides, units, possible values. It reads the raw body, so
 * that a record with mistakes of several kinds gets all of them named at once.
 */
import { distance } from 'fastest-levenshtein';
import { pointerOf } from './errors.ts';
import type { RuleSet } from './rule-set.ts';

export interface InputError {
  readonly pointer: string;
  readonly code: string;
  readonly message: string;
  readonly suggestions?: readonly string[];
}

type Path = readonly (string | number)[];
type Raw = { readonly [key: string]: unknown };

const isObject = (value: unknown): value is Raw =>
  value !== null && typeof value === 'object' && !Array.isArray(value);
const listAt = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

/** The known codes nearest to a mistyped one: by spelling, or because one contains the other. */
export function nearest(code: string, known: Iterable<string>, most = 3): string[] {
  const scored = [...known].map((k) => {
    const contains = k.includes(code) || code.includes(k);
    return { k, score: contains ? Math.abs(k.length - code.length) / 10 : distance(code, k) };
  });
  const limit = Math.max(3, code.length / 2);
  return scored
    .filter((s) => s.score <= limit)
    .sort((a, b) => a.score - b.score || (a.k < b.k ? -1 : 1))
    .slice(0, most)
    .map((s) => s.k);
}

class Findings {
  readonly errors: InputError[] = [];

  add(path: Path, code: string, message: string, suggestions?: readonly string[]): void {
    this.errors.push({
      pointer: pointerOf(path),
      code,
      message,
      ...(suggestions?.length ? { suggestions } : {}),
    });
  }

  /** Says so when a string is not one of the known codes; other types are the shape check's business. */
  known(
    value: unknown,
    known: readonly string[] | ReadonlyMap<string, unknown>,
    what: string,
    path: Path,
  ): boolean {
    if (typeof value !== 'string') return false;
    const codes = Array.isArray(known)
      ? (known as readonly string[])
      : [...(known as ReadonlyMap<string, unknown>).keys()];
    if (codes.includes(value)) return true;
    this.add(path, 'unknown-code', `"${value}" is not a known ${what}`, nearest(value, codes));
    return false;
  }
}

function checkSide(
  entry: Raw,
  sided: boolean,
  required: boolean,
  what: string,
  path: Path,
  out: Findings,
): void {
  const { side } = entry;
  if (!sided && (side === 'left' || side === 'right' || side === 'both')) {
    out.add([...path, 'side'], 'impossible-side', `${what} has no left and right; leave the side out`);
  } else if (sided && required && side === undefined) {
    out.add(
      [...path, 'side'],
      'side-required',
      `${what} needs a side: left, right or both, the swimmer's own`,
    );
  } else if (sided && required && side === 'body') {
    out.add(
      [...path, 'side'],
      'impossible-side',
      `${what} is of one side: left, right or both, the swimmer's own`,
    );
  }
}

function checkObservation(
  entry: Raw,
  clips: ReadonlySet<unknown> | undefined,
  path: Path,
  ruleSet: RuleSet,
  out: Findings,
): void {
  if (!out.known(entry.code, ruleSet.observations, 'observation', [...path, 'code'])) return;
  const known = ruleSet.observations.get(entry.code as string);
  checkSide(entry, known?.sided ?? false, true, `"${entry.code as string}"`, path, out);
  checkClip(entry, clips, path, out);
}

function checkMeasurement(
  entry: Raw,
  clips: ReadonlySet<unknown> | undefined,
  path: Path,
  ruleSet: RuleSet,
  out: Findings,
): void {
  if (!out.known(entry.code, ruleSet.measurements, 'measurement', [...path, 'code'])) return;
  const known = ruleSet.measurements.get(entry.code as string);
  if (known === undefined) return;
  checkSide(entry, known.sided, false, `"${known.code}"`, path, out);
  checkClip(entry, clips, path, out);
  if (typeof entry.unit === 'string' && entry.unit !== known.unit) {
    out.add(
      [...path, 'unit'],
      'wrong-unit',
      `"${known.code}" is given in ${known.unit}, not in ${entry.unit}`,
    );
  }
  const { min, max } = known.possible;
  if (typeof entry.value === 'number' && (entry.value < min || entry.value > max)) {
    out.add(
      [...path, 'value'],
      'impossible-value',
      `"${known.code}" can be ${min} to ${max} ${known.unit}, not ${entry.value}`,
    );
  }
}

function checkClip(entry: Raw, clips: ReadonlySet<unknown> | undefined, path: Path, out: Findings): void {
  if (typeof entry.clip === 'string' && !clips?.has(entry.clip)) {
    out.add([...path, 'clip'], 'unknown-clip', `no clip "${entry.clip}" is listed under recording.clips`);
  }
}

function checkCauseRef(entry: Raw, path: Path, ruleSet: RuleSet, out: Findings): void {
  if (!out.known(entry.cause, ruleSet.causes, 'cause', [...path, 'cause'])) return;
  const sided = ruleSet.causes.get(entry.cause as string)?.sided ?? false;
  checkSide(entry, sided, false, `"${entry.cause as string}"`, path, out);
  if (sided && entry.side === 'body') {
    out.add(
      [...path, 'side'],
      'impossible-side',
      `"${entry.cause as string}" is of one side: left, right or both`,
    );
  }
}

function checkLists(body: Raw, ruleSet: RuleSet, out: Findings): void {
  const { lists } = ruleSet.parts;
  const each = (
    value: unknown,
    known: readonly string[] | ReadonlyMap<string, unknown>,
    what: string,
    path: Path,
  ): void => {
    for (const [i, code] of listAt(value).entries()) out.known(code, known, what, [...path, i]);
  };
  if (isObject(body.swimmer))
    each(body.swimmer.equipment, lists.equipment, 'piece of equipment', ['swimmer', 'equipment']);
  if (isObject(body.recording))
    each(body.recording.flags, ruleSet.flags, 'quality flag', ['recording', 'flags']);
  if (isObject(body.health)) {
    each(body.health.signs, lists.healthSigns, 'health sign', ['health', 'signs']);
    each(body.health.conditions, lists.conditions, 'condition', ['health', 'conditions']);
    for (const [i, pain] of listAt(body.health.pain).entries()) {
      if (!isObject(pain)) continue;
      out.known(pain.site, lists.painSites, 'pain site', ['health', 'pain', i, 'site']);
      each(pain.features, lists.painFeatures, 'pain feature', ['health', 'pain', i, 'features']);
    }
  }
}

/** @param body the parsed JSON body, of any shape. @returns every word that this rule set does not know or allow. */
export function checkVocabulary(body: unknown, ruleSet: RuleSet): InputError[] {
  const out = new Findings();
  if (!isObject(body)) return [];
  const recording = isObject(body.recording) ? body.recording : {};
  const clips =
    recording.clips === undefined
      ? undefined
      : new Set(listAt(recording.clips).map((c) => (isObject(c) ? c.id : undefined)));
  checkLists(body, ruleSet, out);
  for (const [i, entry] of listAt(body.observations).entries()) {
    if (isObject(entry)) checkObservation(entry, clips, ['observations', i], ruleSet, out);
  }
  for (const [i, entry] of listAt(body.measurements).entries()) {
    if (isObject(entry)) checkMeasurement(entry, clips, ['measurements', i], ruleSet, out);
  }
  if (isObject(body.coach)) {
    for (const field of ['focus', 'rejectCauses'] as const) {
      for (const [i, entry] of listAt(body.coach[field]).entries()) {
        if (isObject(entry)) checkCauseRef(entry, ['coach', field, i], ruleSet, out);
      }
    }
    for (const [i, entry] of listAt(body.coach.rejectDrills).entries()) {
      if (isObject(entry))
        out.known(entry.code, ruleSet.drills, 'drill', ['coach', 'rejectDrills', i, 'code']);
    }
  }
  return out.errors;
}

/** @param between what was practised between two films, of any shape. @returns causes and drills that nobody knows. */
export function checkPractised(between: unknown, ruleSet: RuleSet): InputError[] {
  const out = new Findings();
  for (const [i, entry] of listAt(between).entries()) {
    if (!isObject(entry)) continue;
    if (isObject(entry.focus)) checkCauseRef(entry.focus, ['between', i, 'focus'], ruleSet, out);
    for (const [k, code] of listAt(entry.drills).entries())
      out.known(code, ruleSet.drills, 'drill', ['between', i, 'drills', k]);
  }
  return out.errors;
}
