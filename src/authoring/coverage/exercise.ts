/** For a gap of the coverage: what record would close it, in words and, where it can be written down, as a record that was tried. */
import { AssessmentRequest } from '../../contract/request.ts';
import type { Leaf } from '../../engine/conditions.ts';
import { leavesOf } from '../../engine/conditions.ts';
import { bindingsOf, expand, leafOn, scopeOf, sidesOfScope, substitute } from '../../knowledge/expand.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { probe } from '../probe.ts';
import { byFact, holdingValues, truthOf, waysToHold } from '../reason/conditions.ts';
import { valuesOf } from '../reason/values.ts';
import { unreadable } from '../records.ts';
import { createCounter } from './counter.ts';
import { type Assignment, recordOf } from './record-of.ts';
import type { Gap } from './summary.ts';
import { type Outcome, outcomeOf } from './targets.ts';

export interface Exercise {
  /** What a record would have to hold. */
  readonly text: string;
  /** Such a record; null where a fact is concluded by earlier rules and cannot be written down. */
  readonly record: AssessmentRequest | null;
  /** The record was tried, and closes the gap. */
  readonly tried: boolean;
}

function told(fact: string, value: unknown): string {
  if (value === undefined) return `nothing about "${fact}"`;
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return `"${fact}" ${text}`;
}

/** For each way in which the rule can hold, values that make it hold. */
function assignments(gap: Gap, ruleSet: RuleSet): Assignment[] {
  const { part, rule } = gap.target;
  if (gap.condition === undefined) {
    const [instance] = expand([rule], ruleSet.parts, ruleSet.catalogue);
    const ways = instance === undefined ? [] : (waysToHold(instance.conditions) ?? []);
    return ways.slice(0, 8).flatMap((way): Assignment[] => {
      const chosen = [...byFact(way)].map(
        ([fact, leaves]) => [fact, holdingValues(fact, leaves, part, ruleSet)] as const,
      );
      if (chosen.some(([, values]) => values.length === 0)) return [];
      return [
        new Map(chosen.map(([fact, values]) => [fact, values.find((v) => v !== undefined) ?? values[0]])),
      ];
    });
  }
  const condition = gap.target.conditions[gap.condition];
  const [bound] = bindingsOf(rule, ruleSet.parts);
  if (condition === undefined || bound === undefined) return [];
  const [side] = sidesOfScope(scopeOf(rule, bound));
  const leaves = leavesOf(leafOn(substitute(condition.leaf, bound), side ?? 'body', ruleSet.catalogue));
  const leaf = leaves[0] as Leaf;
  // a condition of the whole body on a fact with sides asks both of them
  return valuesOf(leaf.fact, [leaf], part, ruleSet)
    .filter((value) => outcomeOf(truthOf(leaf, value, ruleSet)) === gap.missing)
    .slice(0, 3)
    .map((value): Assignment => new Map(leaves.map((l) => [l.fact, value])));
}

function closes(gap: Gap, record: AssessmentRequest, ruleSet: RuleSet): boolean {
  const counter = createCounter(ruleSet, [gap.target]);
  probe(record, ruleSet, counter.record());
  const [own] = counter.counted();
  if (own === undefined) return false;
  if (gap.condition === undefined) return own.firedIn.length > 0;
  return (own.conditions[gap.condition]?.[gap.missing as Outcome] ?? 0) > 0;
}

/** @returns undefined where nothing can bring it about. */
export function exerciseOf(gap: Gap, ruleSet: RuleSet): Exercise | undefined {
  const candidates = assignments(gap, ruleSet);
  const [first] = candidates;
  if (first === undefined) return undefined;
  const text = (a: Assignment): string =>
    `A record with ${[...a].map(([fact, value]) => told(fact, value)).join(' and ')}.`;
  for (const candidate of candidates) {
    const written = recordOf(candidate, ruleSet);
    const parsed = written === undefined ? undefined : AssessmentRequest.safeParse(written);
    if (parsed?.success !== true || unreadable(parsed.data, ruleSet).length > 0) continue;
    if (closes(gap, parsed.data, ruleSet)) return { text: text(candidate), record: parsed.data, tried: true };
  }
  return { text: text(first), record: null, tried: false };
}
