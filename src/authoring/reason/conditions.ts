/**
 * What can be said of conditions without any record: whether they can hold, and whether one follows from another. Facts
 * are taken as independent of each other, so "can hold" may be too kind, and "follows" is certain.
 */
import type { Condition, Leaf } from '../../engine/conditions.ts';
import { isLeaf } from '../../engine/conditions.ts';
import type { FactValue } from '../../engine/facts.ts';
import { OPERATORS, type Truth } from '../../engine/operators.ts';
import type { RulePart } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { valuesOf } from './values.ts';

/** Leaves that hold together. */
export type Conjunct = readonly Leaf[];

/** Most ways to hold that are looked at one by one. */
const MOST_WAYS = 400;

/** @returns every way in which the condition can hold; undefined when there are too many to look at. */
export function waysToHold(condition: Condition): readonly Conjunct[] | undefined {
  if (isLeaf(condition)) return [[condition]];
  if ('any' in condition) {
    const ways = condition.any.map(waysToHold);
    if (ways.some((w) => w === undefined)) return undefined;
    const all = (ways as (readonly Conjunct[])[]).flat();
    return all.length > MOST_WAYS ? undefined : all;
  }
  let ways: readonly Conjunct[] = [[]];
  for (const part of condition.all) {
    const more = waysToHold(part);
    if (more === undefined || ways.length * more.length > MOST_WAYS) return undefined;
    ways = ways.flatMap((way) => more.map((m) => [...way, ...m]));
  }
  return ways;
}

export function truthOf(leaf: Leaf, value: FactValue, ruleSet: RuleSet): Truth {
  return OPERATORS[leaf.operator]?.test(value, leaf.value as never, ruleSet.words);
}

export const byFact = (leaves: readonly Leaf[]): Map<string, Leaf[]> => Map.groupBy(leaves, (l) => l.fact);

/** Values of one fact for which all of the leaves on it hold. */
export function holdingValues(
  fact: string,
  leaves: readonly Leaf[],
  part: RulePart,
  ruleSet: RuleSet,
  besides: readonly Leaf[] = [],
): FactValue[] {
  const values = valuesOf(fact, [...leaves, ...besides], part, ruleSet);
  return values.filter((value) => leaves.every((leaf) => truthOf(leaf, value, ruleSet) === true));
}

/** The facts of a conjunct that no value can satisfy; empty when it can hold. */
export function obstacles(
  way: Conjunct,
  part: RulePart,
  ruleSet: RuleSet,
): { fact: string; leaves: Leaf[] }[] {
  return [...byFact(way)]
    .filter(([fact, leaves]) => holdingValues(fact, leaves, part, ruleSet).length === 0)
    .map(([fact, leaves]) => ({ fact, leaves }));
}

function wayImplies(a: Conjunct, b: Conjunct, part: RulePart, ruleSet: RuleSet): boolean {
  const given = byFact(a);
  return [...byFact(b)].every(([fact, wanted]) => {
    const own = given.get(fact) ?? [];
    return holdingValues(fact, own, part, ruleSet, wanted).every((value) =>
      wanted.every((leaf) => truthOf(leaf, value, ruleSet) === true),
    );
  });
}

/** Whether `b` holds whenever `a` does. False also when it is not certain. */
export function implies(
  a: readonly Conjunct[] | undefined,
  b: readonly Conjunct[] | undefined,
  part: RulePart,
  ruleSet: RuleSet,
): boolean {
  if (a === undefined || b === undefined) return false;
  return a.every((way) => b.some((other) => wayImplies(way, other, part, ruleSet)));
}
