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

export type Bindings = Readonly<Record<string, string | readonly string[]>>;

/** What a `forEach` runs over, as variable bindings. */
export function bindingsOf(rule: Pick<AuthoredRule, 'forEach'>, parts: Parts): Bindings[] {
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

export function substitute<T>(value: T, bindings: Bindings): T {
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
export function leafOn(leaf: Leaf, side: Side, facts: ReadonlyMap<string, FactSpec>): Condition {
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

/** The scope of a rule for one set of bindings; `$scope` is filled in by its template. */
export function scopeOf(rule: Pick<AuthoredRule, 'scope'>, bindings: Bindings): 'arm' | 'body' {
  return rule.scope === '$scope' ? (bindings.scope as 'arm' | 'body') : rule.scope;
}

export const sidesOfScope = (scope: 'arm' | 'body'): readonly Side[] =>
  scope === 'arm' ? ['left', 'right'] : ['body'];

/** A leaf as its author wrote it, and where it stands inside the rule. */
export interface AuthoredLeaf {
  readonly leaf: Leaf;
  readonly path: readonly (string | number)[];
}

/** Every leaf of a rule in the order it is written. */
export function authoredLeaves(
  condition: AuthoredCondition,
  path: AuthoredLeaf['path'] = ['conditions'],
): AuthoredLeaf[] {
  if ('fact' in condition) return [{ leaf: condition, path }];
  const [key, parts] = 'all' in condition ? ['all', condition.all] : ['any', condition.any];
  return parts.flatMap((part, i) => authoredLeaves(part, [...path, key, i]));
}

export function expand<P>(
  rules: readonly AuthoredRule<P>[],
  parts: Parts,
  facts: ReadonlyMap<string, FactSpec>,
): RuleInstance<P>[] {
  return rules.flatMap((rule) =>
    bindingsOf(rule, parts).flatMap((bindings) => {
      const conditions = substitute(rule.conditions, bindings);
      const event = substitute(rule.event, bindings);
      return sidesOfScope(scopeOf(rule, bindings)).map((side) => ({
        id: rule.id + suffixOf(bindings),
        side,
        conditions: onSide(conditions, side, facts) as Group,
        event,
      }));
    }),
  );
}
