/** What is wrong with a draft: every mistake with its place in the request. */
export interface DraftMistake {
  /** JSON Pointer into the request. */
  readonly pointer: string;
  /** Kind of mistake; a lint id where the mistake is one of rule writing. */
  readonly code: string;
  readonly message: string;
  readonly suggestions?: readonly string[];
}

/** Thrown where a draft cannot become a rule set. */
export class DraftInvalid extends Error {
  readonly mistakes: readonly DraftMistake[];
  constructor(mistakes: readonly DraftMistake[]) {
    super(mistakes.map((m) => `${m.pointer}: ${m.message}`).join('\n'));
    this.name = 'DraftInvalid';
    this.mistakes = mistakes;
  }
}
