/** Conditions: facts that exist, and operators that fit their kind. */
import { type Condition, leavesOf } from '../../engine/conditions.ts';
import { OPERATORS } from '../../engine/operators.ts';
import { expand } from '../expand.ts';
import type { FactSpec } from '../fact-catalogue.ts';
import { type AuthoredRule, type Parts, RULE_PARTS } from '../parts.ts';
import { each, type Report } from './report.ts';

/** `@other` is the opposite arm of the arm that a rule runs for; nothing else may stand behind a fact. */
function checkSuffixes(
  rule: AuthoredRule,
  facts: ReadonlyMap<string, FactSpec>,
  say: (message: string) => void,
): void {
  for (const { fact } of leavesOf(rule.conditions as Condition)) {
    const [base, suffix] = fact.split('@') as [string, string?];
    if (suffix === undefined) continue;
    if (suffix !== 'other') say(`"${fact}": only @other may stand behind a fact`);
    else if (rule.scope === 'body') say(`"${fact}": a rule of the body has no other arm`);
    else if (facts.get(base)?.sided === false) say(`"${fact}": the fact has no sides`);
  }
}

export function checkConditions(parts: Parts, facts: ReadonlyMap<string, FactSpec>, report: Report): void {
  const bases = new Map(facts);
  const words = new Set(parts.constants.probabilityWords.map((w) => w.word));
  for (const file of RULE_PARTS) {
    const rules = parts[file] as readonly AuthoredRule[];
    each(rules, (rule, i) => {
      checkSuffixes(rule, facts, (message) => report(file, [i, 'conditions'], message));
      for (const instance of expand([rule], parts, facts)) {
        for (const variable of JSON.stringify(instance.event).match(/\$[a-zA-Z]+/g) ?? [])
          report(file, [i, 'event'], `nothing fills in "${variable}"`);
        for (const leaf of leavesOf(instance.conditions)) {
          const spec = bases.get(leaf.fact.split('@')[0] as string);
          const place = [i, 'conditions'];
          if (spec === undefined) {
            report(file, place, `"${leaf.fact}" is not a fact of this rule set`);
            continue;
          }
          const operator = OPERATORS[leaf.operator];
          if (operator === undefined) continue; // the shape check has said so
          if (!operator.kinds.includes(spec.kind)) {
            report(
              file,
              place,
              `operator "${leaf.operator}" does not fit "${leaf.fact}", which is a ${spec.kind} fact`,
            );
          }
          if (!operator.value.safeParse(leaf.value).success) {
            report(
              file,
              place,
              `operator "${leaf.operator}" cannot compare with ${JSON.stringify(leaf.value)}`,
            );
          }
          if (
            spec.kind === 'probability' &&
            operator.kinds.includes('probability') &&
            !operator.total &&
            !words.has(String(leaf.value))
          ) {
            report(file, place, `"${String(leaf.value)}" is not a probability word`);
          }
          if (spec.values !== undefined && Array.isArray(leaf.value)) {
            for (const v of leaf.value) {
              if (!spec.values.includes(v as string))
                report(file, place, `"${String(v)}" can never be a value of "${leaf.fact}"`);
            }
          }
        }
      }
    });
  }
}
