/** Lints of rules that can never fire: they ask for what cannot be, or for two things that exclude each other. */
import type { Condition, Leaf } from '../../engine/conditions.ts';
import { authoredLeaves, expand } from '../../knowledge/expand.ts';
import type { FactSpec } from '../../knowledge/fact-catalogue.ts';
import { type AuthoredRule, RULE_PARTS, type RulePart } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { byFact, holdingValues, obstacles, waysToHold } from '../reason/conditions.ts';
import { baseOf, tooEarly } from '../reason/values.ts';
import type { LintFinding, LintRule } from './finding.ts';

/** Instances of a template that are looked at; what holds for these holds for the others. */
const MOST_INSTANCES = 80;

const told = (leaf: Leaf): string => `"${leaf.fact}" ${leaf.operator} ${JSON.stringify(leaf.value)}`;

function whyNever(leaf: Leaf, spec: FactSpec | undefined, part: RulePart): string {
  if (spec !== undefined && tooEarly(spec, part))
    return `"${leaf.fact}" is concluded after these rules have run, so they never see it`;
  if (spec?.range !== undefined) return `"${leaf.fact}" lies between ${spec.range[0]} and ${spec.range[1]}`;
  return `no value of "${leaf.fact}" makes it hold`;
}

/** A limit that nothing can reach is usually a limit in another unit. */
function unitFindings(part: RulePart, rule: AuthoredRule, ruleSet: RuleSet): LintFinding[] {
  return authoredLeaves(rule.conditions).flatMap(({ leaf, path }): LintFinding[] => {
    const range = ruleSet.catalogue.get(baseOf(leaf.fact))?.range;
    if (range === undefined || typeof leaf.value !== 'number') return [];
    if (leaf.value >= range[0] && leaf.value <= range[1]) return [];
    const unit = ruleSet.measurements.get(baseOf(leaf.fact))?.unit;
    const ends = `${range[0]} to ${range[1]}${unit === undefined ? '' : ` ${unit}`}`;
    return [
      {
        lint: 'wrong-unit',
        part,
        entry: rule.id,
        path: [...path, 'value'],
        about: leaf.fact,
        message: `${told(leaf)}: "${leaf.fact}" can be ${ends}`,
        suggestion:
          unit === undefined
            ? `Compare with a value from ${ends}.`
            : `Is the value in another unit? Give it in ${unit}.`,
      },
    ];
  });
}

/** Single conditions that no record can meet. */
function deadLeaves(part: RulePart, rule: AuthoredRule, ruleSet: RuleSet): LintFinding[] {
  if (rule.forEach !== undefined) return [];
  return authoredLeaves(rule.conditions).flatMap(({ leaf, path }): LintFinding[] => {
    if (holdingValues(leaf.fact, [leaf], part, ruleSet).length > 0) return [];
    return [
      {
        lint: 'unreachable-rule',
        part,
        entry: rule.id,
        path: [...path],
        about: leaf.fact,
        message: `${told(leaf)} can never hold: ${whyNever(leaf, ruleSet.catalogue.get(baseOf(leaf.fact)), part)}`,
        suggestion: 'Ask for a value that can occur, ask for another fact, or remove the condition.',
      },
    ];
  });
}

/** Why a way to hold is closed, told by its first obstacle that is not a single dead condition. */
function contradiction(conditions: Condition, part: RulePart, ruleSet: RuleSet): Leaf[] | undefined {
  const ways = waysToHold(conditions);
  if (ways === undefined || ways.length === 0) return undefined;
  const clashes: Leaf[][] = [];
  for (const way of ways) {
    const closed = obstacles(way, part, ruleSet);
    const clash = closed.find(({ leaves }) =>
      leaves.every((leaf) => holdingValues(leaf.fact, [leaf], part, ruleSet).length > 0),
    );
    if (clash === undefined) return undefined;
    clashes.push(clash.leaves);
  }
  return clashes[0];
}

function ruleFindings(part: RulePart, rule: AuthoredRule, ruleSet: RuleSet): LintFinding[] {
  const units = unitFindings(part, rule, ruleSet);
  const instances = expand([rule], ruleSet.parts, ruleSet.catalogue).slice(0, MOST_INSTANCES);
  const base = { part, entry: rule.id, path: [] };
  if (instances.length === 0) {
    const { each = '', tag } = rule.forEach ?? {};
    const what = tag === undefined ? `there is no "${each}"` : `no drill has the tag "${tag}"`;
    return [
      {
        ...base,
        lint: 'unreachable-rule',
        path: ['forEach'],
        message: `the template is written out for nothing: ${what}`,
        suggestion: 'Give a drill the tag, or remove the rule.',
      },
    ];
  }
  const clashes = instances.map((i) => contradiction(i.conditions, part, ruleSet));
  const clash = clashes.every((c) => c !== undefined) ? clashes[0] : undefined;
  if (clash !== undefined)
    return [
      ...units,
      {
        ...base,
        lint: 'contradictory-rule',
        path: ['conditions'],
        message: `the conditions exclude each other: ${clash.map(told).join(' and ')}`,
        suggestion: 'Use "any" where either will do, or remove one of them.',
      },
    ];
  const dead = deadLeaves(part, rule, ruleSet).filter(
    (d) => !units.some((u) => u.path.slice(0, -1).join('/') === d.path.join('/')),
  );
  return [...units, ...dead];
}

export const reach: LintRule = ({ ruleSet }) =>
  RULE_PARTS.flatMap((part) =>
    (ruleSet.parts[part] as readonly AuthoredRule[]).flatMap((rule) => ruleFindings(part, rule, ruleSet)),
  );

/** Two clues under the same conditions that pull one cause both ways. */
export const opposites: LintRule = ({ ruleSet }) => {
  const found: LintFinding[] = [];
  const clues = ruleSet.stages.modifiers.rules.filter((r) => r.side !== 'right');
  const keyed = Map.groupBy(clues, ({ event: { params: p }, conditions, side }) => {
    const leaves = [...byFact(waysToHold(conditions)?.flat() ?? [])];
    return JSON.stringify([p.cause, side, leaves.sort(([a], [b]) => (a < b ? -1 : 1))]);
  });
  for (const rules of keyed.values()) {
    const [first, ...rest] = rules;
    for (const rule of rest) {
      if (first === undefined || rule.event.params.sign === first.event.params.sign) continue;
      found.push({
        lint: 'contradictory-rule',
        part: 'modifiers',
        entry: rule.id,
        path: ['event', 'params', 'sign'],
        about: first.id,
        message: `"${first.id}" says the opposite of "${rule.event.params.cause}" under the same conditions`,
        suggestion: 'Keep one of the two.',
      });
    }
  }
  return found;
};
