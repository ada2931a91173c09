/** Deletes each rule in turn and finds out whether any case notices. A rule that nobody misses is not covered. */
import { type Case, checkCase } from '../../src/authoring/cases.ts';
import { RULE_PARTS } from '../../src/knowledge/parts.ts';
import { compileRuleSet, type RuleSet } from '../../src/knowledge/rule-set.ts';

export interface Deletion {
  readonly part: (typeof RULE_PARTS)[number];
  readonly rule: string;
  /** The first case that turned red; null when none did. */
  readonly noticedBy: string | null;
}

function without(ruleSet: RuleSet, part: Deletion['part'], rule: string): RuleSet {
  const rules = (ruleSet.parts[part] as readonly { id: string }[]).filter((r) => r.id !== rule);
  return compileRuleSet(ruleSet.manifest, { ...ruleSet.parts, [part]: rules }, ruleSet.texts);
}

/** Cases that speak of the rule's own words come first: they are the likeliest to notice. */
function likeliestFirst(cases: readonly Case[], rule: string): Case[] {
  const words = rule.split('--').filter((w) => w.length > 3);
  const overlap = (c: Case): number => {
    const text = JSON.stringify(c);
    return words.filter((w) => text.includes(`"${w}"`)).length;
  };
  return cases
    .map((c) => [overlap(c), c] as const)
    .sort((a, b) => b[0] - a[0])
    .map(([, c]) => c);
}

export async function deleteEach(ruleSet: RuleSet, cases: readonly Case[]): Promise<Deletion[]> {
  const deletions: Deletion[] = [];
  for (const part of RULE_PARTS) {
    for (const { id } of ruleSet.parts[part]) {
      const changed = without(ruleSet, part, id);
      let noticedBy: string | null = null;
      for (const c of likeliestFirst(cases, id)) {
        if (checkCase(c, changed).length > 0) {
          noticedBy = c.id;
          break;
        }
      }
      deletions.push({ part, rule: id, noticedBy });
    }
  }
  return deletions;
}
