/** Lints of rules that are declared to exclude each other: no two may hold at once, and one always holds. */
import { type Condition, isLeaf, leavesOf } from '../../engine/conditions.ts';
import type { FactValue } from '../../engine/facts.ts';
import { OPERATORS, type Truth } from '../../engine/operators.ts';
import { expand } from '../../knowledge/expand.ts';
import { type AuthoredRule, RULE_PARTS, type RulePart } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { byFact, truthOf } from '../reason/conditions.ts';
import { valuesOf } from '../reason/values.ts';
import type { LintFinding, LintRule } from './finding.ts';

/** Most combinations of facts that are tried; a table that needs more should be split. */
const MOST_TRIED = 20_000;

type Facts = ReadonlyMap<string, FactValue>;

function holds(condition: Condition, facts: Facts, ruleSet: RuleSet): Truth {
  if (isLeaf(condition)) return truthOf(condition, facts.get(condition.fact), ruleSet);
  const truths = ('all' in condition ? condition.all : condition.any).map((c) => holds(c, facts, ruleSet));
  const decisive = !('all' in condition);
  if (truths.includes(decisive)) return decisive;
  return truths.includes(undefined) ? undefined : !decisive;
}

/** Every combination of the values that the rules tell apart; an unknown fact only where a rule speaks of not knowing. */
function combinations(rules: readonly Condition[], part: RulePart, ruleSet: RuleSet): Facts[] | undefined {
  let all: Map<string, FactValue>[] = [new Map()];
  for (const [fact, leaves] of byFact(rules.flatMap(leavesOf))) {
    const asksUnknown = leaves.some((l) => OPERATORS[l.operator]?.total === true);
    const values = valuesOf(fact, leaves, part, ruleSet).filter((v) => asksUnknown || v !== undefined);
    if (all.length * values.length > MOST_TRIED) return undefined;
    all = all.flatMap((facts) => values.map((v) => new Map(facts).set(fact, v)));
  }
  return all;
}

const told = (facts: Facts): string =>
  [...facts]
    .map(([fact, value]) => `${fact} ${value === undefined ? 'unknown' : JSON.stringify(value)}`)
    .join(', ');

function tableFindings(
  table: string,
  rules: readonly AuthoredRule[],
  part: RulePart,
  ruleSet: RuleSet,
): LintFinding[] {
  const written = rules.flatMap((rule) => {
    const [first] = expand([rule], ruleSet.parts, ruleSet.catalogue);
    return first === undefined ? [] : [{ id: rule.id, conditions: first.conditions as Condition }];
  });
  const tried = combinations(
    written.map((w) => w.conditions),
    part,
    ruleSet,
  );
  const last = rules.at(-1) as AuthoredRule;
  const base = { part, entry: last.id, path: ['table'] };
  if (tried === undefined)
    return [
      {
        ...base,
        lint: 'table-gap',
        about: table,
        message: `the table "${table}" has too many combinations to be looked through`,
        suggestion: 'Split the table, or drop the declaration.',
      },
    ];
  const findings: LintFinding[] = [];
  const overlaps = new Set<string>();
  for (const facts of tried) {
    const holding = written.filter((w) => holds(w.conditions, facts, ruleSet) === true).map((w) => w.id);
    const pair = holding.slice(0, 2).join(' and ');
    if (holding.length > 1 && !overlaps.has(pair)) {
      overlaps.add(pair);
      findings.push({
        part,
        entry: holding[1] as string,
        path: ['conditions'],
        lint: 'table-overlap',
        about: holding[0] as string,
        message: `${pair} of the table "${table}" both hold: ${told(facts)}`,
        suggestion: 'Draw the limit between the two so that only one holds.',
      });
    }
  }
  const gap = tried.find((facts) => !written.some((w) => holds(w.conditions, facts, ruleSet) === true));
  if (gap !== undefined)
    findings.push({
      ...base,
      lint: 'table-gap',
      about: table,
      message: `no rule of the table "${table}" holds: ${told(gap)}`,
      suggestion: 'Widen a rule, or add one for what is left.',
    });
  return findings;
}

export const tables: LintRule = ({ ruleSet }) =>
  RULE_PARTS.flatMap((part) => {
    const declared = (ruleSet.parts[part] as readonly AuthoredRule[]).filter((r) => r.table !== undefined);
    return [...Map.groupBy(declared, (r) => r.table as string)].flatMap(([table, rules]) =>
      tableFindings(table, rules, part, ruleSet),
    );
  });
