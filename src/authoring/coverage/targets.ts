/** What coverage looks at: every rule, and every condition in it with the outcomes that it can have. */
import { compile, type Leaf, type Test } from '../../engine/conditions.ts';
import {
  type AuthoredLeaf,
  authoredLeaves,
  bindingsOf,
  expand,
  leafOn,
  scopeOf,
  sidesOfScope,
  substitute,
} from '../../knowledge/expand.ts';
import { type AuthoredRule, RULE_PARTS, type RulePart } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { truthOf } from '../reason/conditions.ts';
import { baseOf, valuesOf } from '../reason/values.ts';

export const OUTCOMES = ['true', 'false', 'unknown'] as const;
export type Outcome = (typeof OUTCOMES)[number];

export const outcomeOf = (truth: boolean | undefined): Outcome =>
  truth === undefined ? 'unknown' : truth ? 'true' : 'false';

export interface ConditionTarget extends AuthoredLeaf {
  /** The condition on every arm and for everything that a template is written out for. */
  readonly tests: readonly Test[];
  readonly possible: ReadonlySet<Outcome>;
}

export interface RuleTarget {
  readonly part: RulePart;
  readonly rule: AuthoredRule;
  readonly tests: readonly Test[];
  readonly conditions: readonly ConditionTarget[];
}

/** What the condition can come out as for some record. */
function possibleOutcomes(leaf: Leaf, part: RulePart, ruleSet: RuleSet): Outcome[] {
  const fact = baseOf(leaf.fact);
  return valuesOf(fact, [leaf], part, ruleSet).map((value) => outcomeOf(truthOf(leaf, value, ruleSet)));
}

function conditionsOf(part: RulePart, rule: AuthoredRule, ruleSet: RuleSet): ConditionTarget[] {
  const { parts, catalogue, facts, words } = ruleSet;
  const bindings = bindingsOf(rule, parts);
  return authoredLeaves(rule.conditions).map((at) => {
    const written = bindings.flatMap((bound) => {
      const leaf = substitute(at.leaf, bound);
      return sidesOfScope(scopeOf(rule, bound)).map((side) => ({ leaf, side }));
    });
    return {
      ...at,
      tests: written.map(({ leaf, side }) => compile(leafOn(leaf, side, catalogue), facts, words)),
      possible: new Set(written.flatMap(({ leaf }) => possibleOutcomes(leaf, part, ruleSet))),
    };
  });
}

/** The stage that runs the rules of a part. */
export const STAGE_OF: Readonly<Record<RulePart, string>> = {
  'gate-rules': 'gate',
  reports: 'reports',
  links: 'evidence',
  modifiers: 'modifiers',
  'sufficiency-rules': 'sufficiency',
  'principle-rules': 'principles',
  deductions: 'deductions',
  'drill-exclusions': 'exclusions',
  'caution-rules': 'cautions',
  'plan-rules': 'plan',
};

export function targetsOf(ruleSet: RuleSet): RuleTarget[] {
  const { parts, catalogue, facts, words } = ruleSet;
  return RULE_PARTS.flatMap((part) =>
    (parts[part] as readonly AuthoredRule[]).map((rule) => ({
      part,
      rule,
      tests: expand([rule], parts, catalogue).map((r) => compile(r.conditions, facts, words)),
      conditions: conditionsOf(part, rule, ruleSet),
    })),
  );
}
