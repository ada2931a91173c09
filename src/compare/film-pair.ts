/** Two films held against each other, and what their pace allows to be compared. */
import type { Condition } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';

/** What has to be the same for an item to be comparable: filmed at one pace, swum at one effort, or neither. */
export type Same = RuleSet['parts']['change-limits'][number]['same'];

export interface FilmPair {
  readonly before: Film;
  readonly after: Film;
  readonly ruleSet: RuleSet;
  /** What else changed; named before anything else. */
  readonly conditions: readonly Condition[];
}

/** Why a condition forbids a comparison: the code of its reason. */
const REASONS: Readonly<Record<string, string>> = {
  'unusual-pace': 'unusual-pace',
  pace: 'other-pace',
  effort: 'other-effort',
};

/** @returns the reason that forbids to compare items of this kind, or null. */
export function blockOf({ conditions }: FilmPair, same: Same): string | null {
  if (same === 'nothing') return null;
  // speed is compared at one effort: a swimmer who got faster swims at another pace, and that is the point
  const asked = ['unusual-pace', same];
  const found = conditions.find((c) => c.blocks && asked.includes(c.code));
  return found === undefined ? null : (REASONS[found.code] ?? null);
}
