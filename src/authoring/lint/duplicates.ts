/** Lints of rules that add nothing: the same rule twice, or one that always fires together with another of the same effect. */
import type { Condition } from '../../engine/conditions.ts';
import { expand } from '../../knowledge/expand.ts';
import { type AuthoredRule, RULE_PARTS, type RulePart } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { type Conjunct, implies, waysToHold } from '../reason/conditions.ts';
import type { LintFinding, LintRule } from './finding.ts';

/** Parts in which a second rule that fires adds something of its own: only the very same rule is too much. */
const ADDING: readonly RulePart[] = ['reports', 'links', 'modifiers', 'deductions'];

/** What a rule does, as far as two rules can do the same. */
function effectOf(part: RulePart, rule: AuthoredRule): string {
  const p = rule.event.params as { [field: string]: unknown };
  const same: { readonly [P in RulePart]?: readonly unknown[] } = {
    reports: [p.finding, p.kind],
    links: [p.cause, p.finding],
    modifiers: [p.cause, p.sign],
    deductions: [p.finding, p.phase],
    'drill-exclusions': [p.drill],
  };
  return JSON.stringify([rule.scope, rule.forEach ?? null, same[part] ?? rule.event.params]);
}

interface Candidate {
  readonly rule: AuthoredRule;
  readonly place: number;
  readonly ways: readonly Conjunct[] | undefined;
}

function candidates(part: RulePart, ruleSet: RuleSet): Map<string, Candidate[]> {
  const rules = ruleSet.parts[part] as readonly AuthoredRule[];
  const all = rules.flatMap((rule, place): Candidate[] => {
    const [first] = expand([rule], ruleSet.parts, ruleSet.catalogue);
    return first === undefined ? [] : [{ rule, place, ways: waysToHold(first.conditions as Condition) }];
  });
  return Map.groupBy(all, ({ rule }) => effectOf(part, rule));
}

/** The first rule of the file gives the reason of an exclusion: a later rule with another reason is never heard. */
function isHeard(part: RulePart, rule: Candidate, other: Candidate): boolean {
  const reason = ({ rule: r }: Candidate): unknown => (r.event.params as { reason?: unknown }).reason;
  return part === 'drill-exclusions' && reason(rule) !== reason(other) && rule.place < other.place;
}

function compare(part: RulePart, a: Candidate, b: Candidate, ruleSet: RuleSet): LintFinding | undefined {
  const follows = implies(a.ways, b.ways, part, ruleSet);
  if (!follows) return undefined;
  const mutual = implies(b.ways, a.ways, part, ruleSet);
  const base = { part, entry: a.rule.id, path: ['conditions'], about: b.rule.id };
  if (mutual) {
    if (a.place < b.place) return undefined; // told of the later one
    return {
      ...base,
      lint: 'duplicate-rule',
      message: `"${b.rule.id}" fires under the same conditions and does the same`,
      suggestion: 'Keep one of the two.',
    };
  }
  if (ADDING.includes(part) || isHeard(part, a, b)) return undefined;
  return {
    ...base,
    lint: 'shadowed-rule',
    message: `whenever it fires, "${b.rule.id}" fires too and does the same`,
    suggestion: 'Remove it, or make the other one narrower.',
  };
}

export const duplicates: LintRule = ({ ruleSet }) =>
  RULE_PARTS.flatMap((part) =>
    [...candidates(part, ruleSet).values()].flatMap((group) =>
      group.flatMap((a) => {
        for (const b of group) {
          const found = a === b ? undefined : compare(part, a, b, ruleSet);
          if (found !== undefined) return [found];
        }
        return [];
      }),
    ),
  );
