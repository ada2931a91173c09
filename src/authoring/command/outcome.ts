/** What a command of the bench hands back: lines to read, the same as data, and whether all is well. */
export interface Outcome {
  readonly ok: boolean;
  readonly lines: readonly string[];
  readonly json: unknown;
}

/** Used in the wrong way: nothing was looked at. */
export class Misuse extends Error {}
