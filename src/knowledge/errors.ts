/** What is wrong with a rule set: every fault with its file and JSON Pointer, all at once. */
export interface RuleSetError {
  readonly file: string;
  readonly pointer: string;
  /** Kind of fault: a stable name with a page of its own. */
  readonly code: string;
  readonly message: string;
  /** The code or word that the fault is about, where there is one. */
  readonly value?: string;
  readonly suggestions?: readonly string[];
}

export class RuleSetInvalid extends Error {
  readonly errors: readonly RuleSetError[];
  constructor(name: string, errors: readonly RuleSetError[]) {
    const lines = errors.map((e) => `  ${e.file}#${e.pointer}: ${e.message}${hint(e.suggestions)}`);
    super(
      `rule set ${name} has ${errors.length} error${errors.length === 1 ? '' : 's'}:\n${lines.join('\n')}`,
    );
    this.name = 'RuleSetInvalid';
    this.errors = errors;
  }
}

function hint(suggestions: readonly string[] | undefined): string {
  return suggestions === undefined || suggestions.length === 0
    ? ''
    : `; did you mean ${suggestions.map((s) => `"${s}"`).join(' or ')}?`;
}

/** RFC 6901: `~` and `/` inside a name are escaped. */
export function pointerOf(path: readonly PropertyKey[]): string {
  return path.map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}
