/** Conditions: facts that exist, and operators that fit their kind. */
import type { Leaf } from '../../engine/conditions.ts';
import { OPERATORS } from '../../engine/operators.ts';
import { type AuthoredLeaf, authoredLeaves, type Bindings, bindingsOf, substitute } from '../expand.ts';
import type { FactSpec } from '../fact-catalogue.ts';
import { type AuthoredRule, type Parts, RULE_PARTS } from '../parts.ts';
import { nearest } from '../vocabulary.ts';
import { each, type Report } from './report.ts';

type Facts = ReadonlyMap<string, FactSpec>;
/** Says what is wrong with one field of a leaf. */
type Say = (code: string, field: keyof Leaf, message: string, more?: Parameters<Report>[4]) => void;

/** `@other` is the opposite arm of the arm that a rule runs for; nothing else may stand behind a fact. */
function checkSuffix(rule: AuthoredRule, fact: string, facts: Facts, say: Say): void {
  const [base, suffix] = fact.split('@') as [string, string?];
  if (suffix === undefined) return;
  const wrong = (why: string): void => say('wrong-suffix', 'fact', `"${fact}": ${why}`);
  if (suffix !== 'other') wrong('only @other may stand behind a fact');
  else if (rule.scope === 'body') wrong('a rule of the body has no other arm');
  else if (facts.get(base)?.sided === false) wrong('the fact has no sides');
}

/** @param leaf with its variables filled in. */
function checkLeaf(leaf: Leaf, facts: Facts, words: ReadonlySet<string>, say: Say): void {
  const base = leaf.fact.split('@')[0] as string;
  const spec = facts.get(base);
  if (spec === undefined) {
    say('unknown-fact', 'fact', `"${leaf.fact}" is not a fact of this rule set`, {
      value: base.slice(base.indexOf(':') + 1),
      suggestions: nearest(base, facts.keys()),
    });
    return;
  }
  const operator = Object.hasOwn(OPERATORS, leaf.operator) ? OPERATORS[leaf.operator] : undefined;
  if (operator === undefined) return; // the shape check has said so
  if (!operator.kinds.includes(spec.kind)) {
    const fitting = Object.entries(OPERATORS).filter(([, o]) => o.kinds.includes(spec.kind));
    say(
      'operator-does-not-fit',
      'operator',
      `operator "${leaf.operator}" does not fit "${leaf.fact}", which is a ${spec.kind} fact`,
      { suggestions: fitting.map(([name]) => name) },
    );
  }
  if (!operator.value.safeParse(leaf.value).success) {
    say(
      'wrong-value',
      'value',
      `operator "${leaf.operator}" cannot compare with ${JSON.stringify(leaf.value)}`,
    );
  }
  const asksForWord = operator.kinds.includes('probability') && !operator.total;
  if (spec.kind === 'probability' && asksForWord && !words.has(String(leaf.value))) {
    say('unknown-word', 'value', `"${String(leaf.value)}" is not a probability word`, {
      suggestions: [...words],
    });
  }
  if (spec.values !== undefined && Array.isArray(leaf.value)) {
    for (const v of leaf.value as string[]) {
      if (!spec.values.includes(v))
        say('wrong-value', 'value', `"${v}" can never be a value of "${leaf.fact}"`, {
          value: v,
          suggestions: nearest(v, spec.values),
        });
    }
  }
}

function checkVariables(
  rule: AuthoredRule,
  bindings: Bindings,
  say: (field: string, name: string) => void,
): void {
  if (rule.scope === '$scope' && bindings.scope === undefined) say('scope', '$scope');
  const event = JSON.stringify(substitute(rule.event, bindings));
  for (const variable of event.match(/\$[a-zA-Z]+/g) ?? []) say('event', variable);
}

export function checkConditions(parts: Parts, facts: Facts, report: Report): void {
  const words = new Set(parts.constants.probabilityWords.map((w) => w.word));
  for (const file of RULE_PARTS) {
    each(parts[file] as readonly AuthoredRule[], (rule, i) => {
      const leaves = authoredLeaves(rule.conditions);
      const sayOf =
        ({ path }: AuthoredLeaf): Say =>
        (code, field, message, more) =>
          report(code, file, [i, ...path, field], message, more);
      for (const at of leaves) checkSuffix(rule, at.leaf.fact, facts, sayOf(at));
      for (const bindings of bindingsOf(rule, parts)) {
        checkVariables(rule, bindings, (field, name) =>
          report('unfilled-variable', file, [i, field], `nothing fills in "${name}"`),
        );
        for (const at of leaves) checkLeaf(substitute(at.leaf, bindings), facts, words, sayOf(at));
      }
    });
  }
}
