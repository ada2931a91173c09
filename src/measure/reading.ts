/** What the parts of a measurement hand to each other: numbers and notes without words. */
import type { Certainty, Side, View } from '../contract/common.ts';

export type Primitive = string | number | boolean | null;
export type Derivation = Record<string, Primitive | Primitive[]>;

/** One measured value, in the unit of its code. */
export interface Reading {
  readonly code: string;
  readonly side: Side;
  readonly value: number;
  /** Same unit as the value. */
  readonly standardDeviation: number;
  readonly certainty: Certainty;
  readonly view?: View;
  /** Names inputs, formula and source. */
  readonly derivation: Derivation;
}

/** Something to tell the coach; the words stand in the language file under `measure-` and the code. */
export interface Note {
  readonly severity: 'info' | 'warning';
  readonly code: string;
  readonly about: { readonly code?: string; readonly side?: Side; readonly view?: string };
  readonly values?: Readonly<Record<string, string>>;
}

export interface Part {
  readonly readings: readonly Reading[];
  readonly notes: readonly Note[];
}

/** Nothing measured and nothing to tell. */
export const NOTHING: Part = { readings: [], notes: [] };

/** A note that something was left out or what a value means. */
export const info = (code: string, about: Note['about'] = {}, values: Note['values'] = {}): Note => ({
  severity: 'info',
  code,
  about,
  values,
});

/** A note that something is likely wrong. */
export const warning = (code: string, about: Note['about'] = {}, values: Note['values'] = {}): Note => ({
  severity: 'warning',
  code,
  about,
  values,
});

/** @returns the measurements, messages and notes of the parts, one part after the other */
export function together(...parts: readonly Part[]): Part {
  return { readings: parts.flatMap((p) => p.readings), notes: parts.flatMap((p) => p.notes) };
}

/** @returns the words of the contract for observations: "sure" is for three or more cycles, "unsure" for one, "likely" for two */
export function certaintyOf(cycles: number): Certainty {
  return cycles >= 3 ? 'sure' : cycles === 2 ? 'likely' : 'unsure';
}

/** @returns a number for a sentence: at most so many places after the point, no trailing zeros */
export function figure(value: number, places = 2): string {
  return String(Number(value.toFixed(places)));
}
