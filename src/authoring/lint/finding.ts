/** What a lint rule says about one entry of a rule set. */
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Counted } from '../coverage/counter.ts';
import type { LintId } from './catalogue.ts';

export interface LintFinding {
  readonly lint: LintId;
  readonly part: string;
  /** Name of the entry. */
  readonly entry: string;
  /** Place inside the entry. */
  readonly path: readonly (string | number)[];
  readonly message: string;
  readonly suggestion: string;
  /** What the finding is about besides its entry, to allow one and not another. */
  readonly about?: string;
}

export interface Linted {
  readonly ruleSet: RuleSet;
  /** How the rules fared over the cases; left out where no case was run. */
  readonly counted?: readonly Counted[] | undefined;
}

/** One family of lint rules: pure, from a rule set to findings. */
export type LintRule = (linted: Linted) => LintFinding[];
