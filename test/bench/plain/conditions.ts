/** Conditions walked as they are written: true, false, or undefined where a fact is not known. */
import type { Condition, Leaf } from '../../../src/engine/conditions.ts';
import type { FactValue, Measured, PainReport, Seen } from '../../../src/engine/facts.ts';
import type { RuleInstance } from '../../../src/engine/stage.ts';

export type Facts = Map<string, FactValue>;
export type Truth = boolean | undefined;
/** Lowest probability of each word. */
export type Words = ReadonlyMap<string, number>;

export function leafTruth({ fact, operator, value }: Leaf, facts: Facts, words: Words): Truth {
  const actual = facts.get(fact);
  switch (operator) {
    case 'notAssessed':
    case 'isUnknown':
      return actual === undefined;
    case 'isNotConfirmed':
      return actual !== true;
    case 'notSeen':
      return actual === undefined || (actual as Seen).disputed === true || (actual as Seen).severity === 0;
  }
  if (actual === undefined) return undefined;
  const seen = actual as Seen;
  const list = value as readonly string[];
  switch (operator) {
    case 'isAssessed':
    case 'isMeasured':
      return true;
    case 'seenAtLeast':
      return seen.disputed ? undefined : seen.severity >= (value as number);
    case 'seenAbsent':
      return seen.disputed ? undefined : seen.severity === 0;
    case 'measuredAtLeast':
      return (actual as Measured).value >= (value as number);
    case 'measuredAbove':
      return (actual as Measured).value > (value as number);
    case 'measuredAtMost':
      return (actual as Measured).value <= (value as number);
    case 'painAtLeast':
      return (actual as PainReport).score >= (value as number);
    case 'painAbove':
      return (actual as PainReport).score > (value as number);
    case 'painAtMost':
      return (actual as PainReport).score <= (value as number);
    case 'painHasAnyOf':
      return list.some((code) => (actual as PainReport).features.includes(code));
    case 'is':
      return actual === value;
    case 'atLeast':
      return (actual as number) >= (value as number);
    case 'above':
      return (actual as number) > (value as number);
    case 'atMost':
      return (actual as number) <= (value as number);
    case 'isOneOf':
      return list.includes(actual as string);
    case 'isNoneOf':
      return !list.includes(actual as string);
    case 'includesAnyOf':
      return list.some((code) => (actual as readonly string[]).includes(code));
    case 'includesNoneOf':
      return !list.some((code) => (actual as readonly string[]).includes(code));
    case 'probabilityAtLeast':
      return (actual as number) >= (words.get(value as string) ?? Number.POSITIVE_INFINITY);
    case 'probabilityBelow':
      return (actual as number) < (words.get(value as string) ?? Number.POSITIVE_INFINITY);
  }
  throw new Error(`unknown operator ${operator}`);
}

export function truthOf(condition: Condition, facts: Facts, words: Words): Truth {
  if ('fact' in condition) return leafTruth(condition, facts, words);
  if ('all' in condition) {
    let truth: Truth = true;
    for (const part of condition.all) {
      const t = truthOf(part, facts, words);
      if (t === false) return false;
      if (t === undefined) truth = undefined;
    }
    return truth;
  }
  let truth: Truth = false;
  for (const part of condition.any) {
    const t = truthOf(part, facts, words);
    if (t === true) return true;
    if (t === undefined) truth = undefined;
  }
  return truth;
}

/** Rules that fire, in the order of the file. */
export function firing<P>(rules: readonly RuleInstance<P>[], facts: Facts, words: Words): RuleInstance<P>[] {
  return rules.filter((rule) => truthOf(rule.conditions, facts, words) === true);
}

/** Facts of the leaves that hold. */
export function factsThatHold(condition: Condition, facts: Facts, words: Words): string[] {
  if ('fact' in condition) return leafTruth(condition, facts, words) === true ? [condition.fact] : [];
  const parts = 'all' in condition ? condition.all : condition.any;
  return parts.flatMap((part) => factsThatHold(part, facts, words));
}
