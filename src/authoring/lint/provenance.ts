/** Lints of what an author owes: a case for every rule. Rationale and mark are asked for by the shape of a rule. */
import type { LintRule } from './finding.ts';

export const cases: LintRule = ({ counted }) =>
  (counted ?? [])
    .filter(({ firedIn }) => firedIn.length === 0)
    .map(({ target }) => ({
      lint: 'no-case' as const,
      part: target.part,
      entry: target.rule.id,
      path: [],
      message: `no case makes "${target.rule.id}" fire`,
      suggestion: 'Add a case that does; the coverage proposes a record.',
    }));
