/** How large a draft may be. Drafts come from anybody; what they cost must be known before it is paid. */
import { authoredLeaves, bindingsOf } from '../../knowledge/expand.ts';
import { type AuthoredRule, type Parts, RULE_PARTS } from '../../knowledge/parts.ts';

export const LIMITS = {
  /** Values of all kinds in a draft. */
  values: 250_000,
  /** Entries of one part, base and draft together. */
  entries: 1500,
  cases: 3000,
  /** Conditions of all rules once templates and arms are written out; front crawl has about 4500. */
  conditions: 40_000,
  /** Records to compare base and draft over. */
  records: 50,
  /** Mistakes that are told at once. */
  mistakes: 200,
} as const;

/** Conditions of all rules once every template and arm is written out. Counted, not made. */
export function conditionsWrittenOut(parts: Parts): number {
  const times = new Map<string, number>();
  const timesOf = (rule: AuthoredRule): number => {
    const { each, tag } = rule.forEach ?? {};
    const key = `${each} ${tag}`;
    const known = times.get(key) ?? bindingsOf(rule, parts).length;
    times.set(key, known);
    return known;
  };
  let count = 0;
  for (const part of RULE_PARTS) {
    for (const rule of parts[part] as readonly AuthoredRule[]) {
      // two arms, or two sides of a sided fact
      count += 2 * timesOf(rule) * authoredLeaves(rule.conditions).length;
    }
  }
  return count;
}
