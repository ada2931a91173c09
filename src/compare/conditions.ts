/** What else changed between two films. It is named first, and a different pace makes filmed items incomparable. */
import { derivedFlags, viewsOf } from '../assess/facts.ts';
import { phrase } from '../assess/phrases.ts';
import type { Condition } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';

type Shown = string | number | readonly string[] | undefined;

const shown = (value: Shown): string => {
  if (value === undefined) return '?';
  return typeof value === 'object' ? value.join(', ') || '-' : String(value);
};

export function observersOf(film: Film): string[] {
  return [
    ...new Set(film.record.observations.flatMap((o) => (o.observer === undefined ? [] : [o.observer]))),
  ].sort();
}

function paceDiffers(before: Film, after: Film, ruleSet: RuleSet): boolean {
  const [a, b] = [before.record.recording, after.record.recording];
  const { pacePercent } = ruleSet.parts.constants.change;
  if (a.paceSecondsPer100 !== undefined && b.paceSecondsPer100 !== undefined) {
    return Math.abs(b.paceSecondsPer100 - a.paceSecondsPer100) / a.paceSecondsPer100 > pacePercent / 100;
  }
  return a.pace !== undefined && b.pace !== undefined && a.pace !== b.pace;
}

export function conditionsOf(before: Film, after: Film, ruleSet: RuleSet): Condition[] {
  const [a, b] = [before.record, after.record];
  const conditions: Condition[] = [];
  const add = (code: string, x: Shown, y: Shown, blocks: boolean): void => {
    if (shown(x) === shown(y)) return;
    const values = { before: shown(x), after: shown(y) };
    conditions.push({ code, ...values, blocks, text: phrase(ruleSet, `condition-${code}`, values) });
  };
  const pace = (film: Film): Shown => film.record.recording.paceSecondsPer100 ?? film.record.recording.pace;
  if (paceDiffers(before, after, ruleSet)) add('pace', pace(before), pace(after), true);
  add('views', viewsOf(a), viewsOf(b), false);
  add('suit', a.recording.suit, b.recording.suit, false);
  add('observer', observersOf(before), observersOf(after), false);
  const flags = (film: Film): string[] =>
    [...(film.record.recording.flags ?? []), ...derivedFlags(film.record, ruleSet)].sort();
  add('flags', flags(before), flags(after), false);
  add('pool', poolOf(before), poolOf(after), false);
  return conditions;
}

function poolOf({ record }: Film): string | undefined {
  const { pool } = record.recording;
  return pool === undefined ? undefined : pool === null ? 'open water' : `${pool.length} ${pool.unit}`;
}
