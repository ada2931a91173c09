/**
 * The written-out rules and the facts of a record in the words of other engines: plain comparisons over a flat object.
 * An engine that knows two truth values gets every question guarded by "and it is known".
 */
import type { Condition, FactTable, Leaf } from '../../../src/engine/conditions.ts';
import type { FactKind, Measured, PainReport, Seen, Slots } from '../../../src/engine/facts.ts';
import type { RuleInstance } from '../../../src/engine/stage.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';

/** What a question comes down to. Names are identifiers of the flat object. */
export type Question =
  | { readonly ask: 'all' | 'any'; readonly parts: readonly Question[] }
  | { readonly ask: 'not'; readonly part: Question }
  | { readonly ask: 'known'; readonly name: string }
  | {
      readonly ask: 'compare';
      readonly name: string;
      readonly by: '>=' | '>' | '<=' | '<' | '==';
      readonly value: number | boolean;
    }
  | { readonly ask: 'one-of'; readonly name: string; readonly codes: readonly string[] }
  | { readonly ask: 'has'; readonly name: string; readonly code: string };

export interface FlatRule {
  readonly name: string;
  readonly when: Question;
}

export type FlatFacts = { readonly [name: string]: number | boolean | string | readonly string[] };

const nameOf = (table: FactTable, fact: string): string => `f${table.find(fact) ?? fact}`;

const all = (...parts: Question[]): Question => ({ ask: 'all', parts });
const any = (...parts: Question[]): Question => ({ ask: 'any', parts });
const not = (part: Question): Question => ({ ask: 'not', part });

function questionOf(
  { fact, operator, value }: Leaf,
  table: FactTable,
  words: ReadonlyMap<string, number>,
): Question {
  const name = nameOf(table, fact);
  const known: Question = { ask: 'known', name };
  const disputed: Question = { ask: 'compare', name: `${name}d`, by: '==', value: true };
  const compare = (by: '>=' | '>' | '<=' | '<' | '==', v: unknown): Question => ({
    ask: 'compare',
    name,
    by,
    value: v as number | boolean,
  });
  const hasAny = (list: string): Question =>
    any(...(value as string[]).map((code): Question => ({ ask: 'has', name: list, code })));
  const oneOf: Question = { ask: 'one-of', name, codes: value as string[] };
  const bound = words.get(value as string) ?? Number.POSITIVE_INFINITY;
  switch (operator) {
    case 'isAssessed':
    case 'isMeasured':
      return known;
    case 'notAssessed':
    case 'isUnknown':
      return not(known);
    case 'seenAtLeast':
      return all(known, not(disputed), compare('>=', value));
    case 'seenAbsent':
      return all(known, not(disputed), compare('==', 0));
    case 'notSeen':
      return any(not(known), disputed, compare('==', 0));
    case 'isNotConfirmed':
      return not(compare('==', true));
    case 'is':
      return compare('==', value);
    case 'measuredAtLeast':
    case 'painAtLeast':
    case 'atLeast':
      return all(known, compare('>=', value));
    case 'measuredAbove':
    case 'painAbove':
    case 'above':
      return all(known, compare('>', value));
    case 'measuredAtMost':
    case 'painAtMost':
    case 'atMost':
      return all(known, compare('<=', value));
    case 'isOneOf':
      return all(known, oneOf);
    case 'isNoneOf':
      return all(known, not(oneOf));
    case 'includesAnyOf':
      return all(known, hasAny(name));
    case 'includesNoneOf':
      return all(known, not(hasAny(name)));
    case 'painHasAnyOf':
      return all(known, hasAny(`${name}l`));
    case 'probabilityAtLeast':
      return all(known, compare('>=', bound));
    case 'probabilityBelow':
      return all(known, compare('<', bound));
  }
  throw new Error(`unknown operator ${operator}`);
}

function flatten(condition: Condition, table: FactTable, words: ReadonlyMap<string, number>): Question {
  if ('fact' in condition) return questionOf(condition, table, words);
  if ('all' in condition) return all(...condition.all.map((part) => flatten(part, table, words)));
  return any(...condition.any.map((part) => flatten(part, table, words)));
}

export const ruleName = (rule: RuleInstance<unknown>): string => `${rule.id}@${rule.side}`;

export function flatRules(rules: readonly RuleInstance<unknown>[], { facts, words }: RuleSet): FlatRule[] {
  return rules.map((rule) => ({ name: ruleName(rule), when: flatten(rule.conditions, facts, words) }));
}

/** Facts by name; what is not known is not there. */
export function flatFacts(slots: Slots, { facts, catalogue }: RuleSet): FlatFacts {
  const flat: { [name: string]: FlatFacts[string] } = {};
  for (const fact of facts.facts) {
    const value = slots[facts.find(fact) as number];
    if (value === undefined) continue;
    const name = nameOf(facts, fact);
    const kind = catalogue.get(fact.split('@')[0] as string)?.kind as FactKind;
    if (kind === 'seen') {
      flat[name] = (value as Seen).severity;
      if ((value as Seen).disputed) flat[`${name}d`] = true;
    } else if (kind === 'measured') flat[name] = (value as Measured).value;
    else if (kind === 'pain') {
      flat[name] = (value as PainReport).score;
      flat[`${name}l`] = (value as PainReport).features;
    } else flat[name] = value as FlatFacts[string];
  }
  return flat;
}
