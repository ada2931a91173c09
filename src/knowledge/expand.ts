/**
 * Writes authored rules out: a template once per thing it is written for, an arm rule once per arm.
 * After this step a rule names concrete facts only.
 */
import type { Side } from '../contract/common.ts';
import type { Condition, Group, Leaf } from '../engine/conditions.ts';
import { OPERATORS } from '../engine/operators.ts';
import type { RuleInstance } from '../engine/stage.ts';
import type { FactSpec } from './fact-catalogue.ts';
import type { AuthoredCondition, AuthoredRule, Parts } from './parts.ts';

type Bindings = Readonly<Record<string, string | readonly string[]>>;

/** What a `forEach` runs over, as variable bindings. */
function bindingsOf(rule: AuthoredRule, parts: Parts): Bindings[] {
  if (rule.forEach === undefined) return [{}];
  const { each, tag } = rule.forEach;
  const drills = parts.drills.filter((d) => tag === undefined || d.tags.includes(tag));
  switch (each) {
    case 'observed-finding': {
      const observed = new Set(parts.observations.map((o) => o.code));
      return parts.findings
        .filter((f) => observed.has(f.code))
        .map((f) => ({ code: f.code, scope: f.sided ? 'arm' : 'body' }));
    }
    case 'drill':
      return drills.map((d) => ({ drill: d.code, levels: d.levels }));
    case 'drill-with-equipment':
      return drills
        .filter((d) => d.needsAnyOf.length > 0)
        .map((d) => ({ drill: d.code, needsAnyOf: d.needsAnyOf }));
    case 'drill-load':
      return drills.flatMap((d) => d.loads.map((bodyPart) => ({ drill: d.code, bodyPart })));
    case 'drill-avoid':
      return drills.flatMap((d) => d.avoid.map(({ cause, from }) => ({ drill: d.code, cause, from })));
  }
}

function substitute<T>(value: T, bindings: Bindings): T {
  if (typeof value === 'string') {
    const whole = /^\$([a-zA-Z]+)$/.exec(value);
    if (whole) return (bindings[whole[1] as string] ?? value) as T;
    return value.replace(/\$([a-zA-Z]+)/g, (all, name: string) => String(bindings[name] ?? all)) as T;
  }
  if (Array.isArray(value)) return value.map((part) => substitute(part, bindings)) as T;
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, substitute(v, bindings)])) as T;
  }
  return value;
}

function suffixOf(bindings: Bindings): string {
  const names = Object.entries(bindings).filter(
    ([key, v]) => key !== 'scope' && key !== 'from' && typeof v === 'string',
  );
  return names.map(([, v]) => `--${v as string}`).join('');
}

/** The concrete leaf or leaves of one authored leaf: own arm, opposite arm (`@other`), or either side of the body. */
function leafOn(leaf: Leaf, side: Side, facts: ReadonlyMap<string, FactSpec>): Condition {
  const [base, at] = leaf.fact.split('@') as [string, string?];
  if (!facts.get(base)?.sided) return leaf;
  const on = (s: 'left' | 'right'): Leaf => ({ ...leaf, fact: `${base}@${s}` });
  if (side === 'body') {
    const both = [on('left'), on('right')];
    return OPERATORS[leaf.operator]?.onBothSides ? { all: both } : { any: both };
  }
  const other = side === 'left' ? 'right' : 'left';
  return on(at === 'other' ? other : side);
}

function onSide(condition: AuthoredCondition, side: Side, facts: ReadonlyMap<string, FactSpec>): Condition {
  if ('fact' in condition) return leafOn(condition, side, facts);
  if ('all' in condition) return { all: condition.all.map((part) => onSide(part, side, facts)) };
  return { any: condition.any.map((part) => onSide(part, side, facts)) };
}

export function expand<P>(
  rules: readonly AuthoredRule<P>[],
  parts: Parts,
  facts: ReadonlyMap<string, FactSpec>,
): RuleInstance<P>[] {
  return rules.flatMap((rule) =>
    bindingsOf(rule, parts).flatMap((bindings) => {
      const scope = rule.scope === '$scope' ? (bindings.scope as 'arm' | 'body') : rule.scope;
      const conditions = substitute(rule.conditions, bindings);
      const event = substitute(rule.event, bindings);
      const sides = scope === 'arm' ? (['left', 'right'] as const) : (['body'] as const);
      return sides.map((side) => ({
        id: rule.id + suffixOf(bindings),
        side,
        conditions: onSide(conditions, side, facts) as Group,
        event,
      }));
    }),
  );
}
