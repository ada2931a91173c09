/** The change of one measured item: how large, against which limit, in which direction. */
import { shortOfGood } from '../assess/measured-grade.ts';
import type { MeasuredEntry } from '../assess/record.ts';
import type { Side } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { isObstacle, type Obstacle, sharedEntries } from './entries.ts';
import type { Film } from './film.ts';
import type { FilmPair, Same } from './film-pair.ts';
import { type Compared, compareValues, limitOf, reaches, smallestBelievable } from './limits.ts';
import { readingsOf } from './sources.ts';
import { type Direction, lessIsBetter, opposite } from './verdict.ts';

export const measuredIn = (film: Film, code: string, side: Side): MeasuredEntry[] =>
  film.record.measurements.filter((m) => m.code === code && m.side === side);

/** How far a value lies on the bad side of anything that it reports on: 0 is clear of all, null reports on nothing. */
function badness(code: string, value: number, ruleSet: RuleSet): number | null {
  const rules = readingsOf(code, ruleSet);
  if (rules.length === 0) return null;
  return Math.max(...rules.map((p) => shortOfGood(value, p)));
}

/** Better is less of a fault; where the rule set says that more or less is better by itself, that. */
export function directionOf(code: string, before: number, after: number, ruleSet: RuleSet): Direction {
  const better = limitOf(code, ruleSet)?.better;
  if (better !== undefined) {
    const less = lessIsBetter(before, after);
    return better === 'lower' ? less : opposite(less);
  }
  const [a, b] = [badness(code, before, ruleSet), badness(code, after, ruleSet)];
  return a === null || b === null ? 'none' : lessIsBetter(a, b);
}

/** What has to be the same for a measurement: stated by its limit; tests and answers do not hang on the film. */
export function sameFor(code: string, ruleSet: RuleSet): Same {
  const stated = limitOf(code, ruleSet)?.same;
  if (stated !== undefined) return stated;
  const hows = readingsOf(code, ruleSet).map((p) => ruleSet.findings.get(p.finding)?.how);
  return hows.length > 0 && hows.every((how) => how === 'asked' || how === 'tested') ? 'nothing' : 'pace';
}

export interface MeasuredChange extends Compared {
  readonly believable: number | null;
  readonly passed: boolean;
  readonly direction: Direction;
  /** The repeats alone say so too: their interval leaves zero out. */
  readonly repeatsAgree: boolean;
}

export function measuredChange(code: string, side: Side, films: FilmPair): MeasuredChange | Obstacle {
  const { ruleSet } = films;
  const findings = readingsOf(code, ruleSet).map((p) => p.finding);
  const shared = sharedEntries(
    measuredIn(films.before, code, side),
    measuredIn(films.after, code, side),
    findings,
    films,
  );
  if (isObstacle(shared)) return shared;
  const compared = compareValues(shared, ruleSet);
  const believable = smallestBelievable(code, compared, ruleSet);
  const { repeats } = compared;
  return {
    ...compared,
    believable,
    passed: believable !== null && reaches(compared.difference, believable),
    direction: directionOf(code, compared.before, compared.after, ruleSet),
    repeatsAgree: repeats !== null && repeats.low * repeats.high > 0,
  };
}
