/** How the cases of a served rule set come out. It cannot change while it is served, so it is found out once. */
import { faultsOf } from '../cases.ts';
import type { Library } from '../draft/build.ts';
import { type NoticedOutcome, outcomeOf } from '../impact/outcome.ts';
import { probe } from '../probe.ts';

export interface BaseRun {
  readonly outcomes: ReadonlyMap<string, NoticedOutcome>;
  /** Ids of cases that hold, and of those that do not. */
  readonly held: ReadonlySet<string>;
  readonly failed: ReadonlySet<string>;
}

const known = new WeakMap<Library, BaseRun>();

/** @param base with cases that it can read, as every served rule set has. */
export function runOf(base: Library): BaseRun {
  const before = known.get(base);
  if (before !== undefined) return before;
  const outcomes = new Map<string, NoticedOutcome>();
  const held = new Set<string>();
  const failed = new Set<string>();
  for (const c of base.cases) {
    const probed = probe(c.request, base.ruleSet);
    outcomes.set(c.id, outcomeOf(probed));
    (faultsOf(c.expect, probed).length === 0 ? held : failed).add(c.id);
  }
  const run = { outcomes, held, failed };
  known.set(base, run);
  return run;
}
