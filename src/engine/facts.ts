/**
 * What a fact of one request can be. `undefined` always means *not known*: nobody looked, asked or said.
 * An operator never treats it as "no".
 */
import type { Certainty } from '../contract/common.ts';

/** Something looked for: severity 0 is "looked for and not there". */
export interface Seen {
  readonly severity: 0 | 1 | 2 | 3;
  readonly certainty: Certainty;
  /** Looked at, but the reports cancel out: neither there nor not there. */
  readonly disputed?: true;
}

/** A number with the certainty of whoever took it, in the unit of the vocabulary. */
export interface Measured {
  readonly value: number;
  readonly certainty: Certainty;
  /** Of the value, same unit; undefined: the value counts as exact. */
  readonly standardDeviation?: number;
}

export interface PainReport {
  readonly score: number;
  readonly features: readonly string[];
}

export type FactValue =
  | Seen
  | Measured
  | PainReport
  | boolean
  | number
  | string
  | readonly string[]
  | undefined;

/** The kind decides which operators may be used on a fact; it is checked when a rule set is loaded. */
export type FactKind = 'seen' | 'measured' | 'pain' | 'flag' | 'number' | 'text' | 'list' | 'probability';

/** Facts of one request, by slot. The slot of a fact id is fixed when the rule set is compiled. */
export type Slots = FactValue[];
