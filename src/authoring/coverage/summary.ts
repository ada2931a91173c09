/** Coverage in figures, and every gap: a rule that never fires, and outcomes of a condition that no case brings about. */
import type { Counted, Counts } from './counter.ts';
import { OUTCOMES, type Outcome, type RuleTarget } from './targets.ts';

export interface Figure {
  readonly all: number;
  readonly seen: number;
  readonly share: number;
}

export interface PartCoverage {
  readonly part: string;
  readonly rules: Figure;
  readonly outcomes: Figure;
}

export interface Gap {
  readonly target: RuleTarget;
  /** Place of the condition in its rule; undefined when the rule as a whole never fires. */
  readonly condition?: number;
  readonly missing: Outcome | 'fired';
}

export interface CoverageSummary {
  readonly rules: Figure;
  readonly outcomes: Figure;
  readonly parts: readonly PartCoverage[];
  readonly gaps: readonly Gap[];
}

const figure = (seen: number, all: number): Figure => ({ all, seen, share: all === 0 ? 1 : seen / all });

function gapsOf({ target, firedIn, conditions }: Counted): Gap[] {
  const never: Gap[] = firedIn.length === 0 ? [{ target, missing: 'fired' }] : [];
  const missing = target.conditions.flatMap(({ possible }, condition) =>
    OUTCOMES.filter((o) => possible.has(o) && (conditions[condition] as Counts)[o] === 0).map(
      (outcome): Gap => ({ target, condition, missing: outcome }),
    ),
  );
  return [...never, ...missing];
}

export function summarize(counted: readonly Counted[]): CoverageSummary {
  const gaps = counted.flatMap(gapsOf);
  const figures = (some: readonly Counted[]): Omit<PartCoverage, 'part'> => {
    const outcomes = some.flatMap((c) => c.target.conditions.map((k) => k.possible.size));
    const all = outcomes.reduce((a, b) => a + b, 0);
    const unseen = some.flatMap(gapsOf).filter((g) => g.missing !== 'fired').length;
    return {
      rules: figure(some.filter((c) => c.firedIn.length > 0).length, some.length),
      outcomes: figure(all - unseen, all),
    };
  };
  const parts = Map.groupBy(counted, (c) => c.target.part);
  return {
    ...figures(counted),
    parts: [...parts].map(([part, some]) => ({ part, ...figures(some) })),
    gaps,
  };
}
