/** A rule set and its cases run through once: what holds, what each rule met, and what the lint says. */
import { type Case, faultsOf } from './cases.ts';
import { type Counted, createCounter } from './coverage/counter.ts';
import type { Library } from './draft/build.ts';
import type { LintFinding } from './lint/finding.ts';
import { lint } from './lint/lint.ts';
import { type Probed, probe } from './probe.ts';
import { unreadable } from './records.ts';

export interface CaseVerdict {
  readonly case: Case;
  /** Sentences that say what came out instead; empty when the case holds. */
  readonly faults: readonly string[];
}

export interface Audit {
  readonly verdicts: readonly CaseVerdict[];
  readonly counted: readonly Counted[];
  readonly findings: readonly LintFinding[];
}

/** @param seen is told how each record came out; undefined where the rule set cannot read it. */
export function audit(
  { ruleSet, cases }: Library,
  seen?: (c: Case, probed: Probed | undefined) => void,
): Audit {
  const counter = createCounter(ruleSet);
  const verdicts = cases.map((c): CaseVerdict => {
    const watch = counter.record();
    const unread = unreadable(c.request, ruleSet);
    if (unread.length > 0) {
      seen?.(c, undefined);
      return { case: c, faults: unread.map((e) => `the record cannot be read: ${e.pointer} ${e.message}`) };
    }
    const probed = probe(c.request, ruleSet, watch);
    seen?.(c, probed);
    return { case: c, faults: faultsOf(c.expect, probed) };
  });
  const counted = counter.counted();
  return { verdicts, counted, findings: lint({ ruleSet, counted }) };
}
