/** The eye and the number, each asked whether it saw what the other saw. */
import type { Side } from '../contract/common.ts';
import { isObstacle } from './entries.ts';
import { blockOf, type FilmPair } from './film-pair.ts';
import { seenChange } from './looks.ts';
import { measuredChange, sameFor } from './measured.ts';
import { measurementsOf, readingsOf } from './sources.ts';
import { type Direction, opposite } from './verdict.ts';

/** Directions in which the measurements of a finding passed their limits; a number without a side speaks for both. */
function directionsMeasured(finding: string, side: Side, films: FilmPair): Direction[] {
  const sides: Side[] = side === 'body' ? ['body'] : [side, 'body'];
  return measurementsOf(finding, films.ruleSet)
    .filter((code) => blockOf(films, sameFor(code, films.ruleSet)) === null)
    .flatMap((code) =>
      sides.flatMap((s) => {
        const change = measuredChange(code, s, films);
        return isObstacle(change) || !change.passed ? [] : [change.direction];
      }),
    );
}

/** Directions in which the eye saw a finding change that a measurement reports on. */
function directionsSeen(measurement: string, side: Side, films: FilmPair): Direction[] {
  return readingsOf(measurement, films.ruleSet).flatMap(({ finding }) => {
    const sided = films.ruleSet.findings.get(finding)?.sided ?? false;
    const sides: Side[] = !sided ? ['body'] : side === 'body' ? ['left', 'right'] : [side];
    return sides.flatMap((s) => {
      const change = seenChange(finding, s, films);
      return isObstacle(change) || !change.passed ? [] : [change.direction];
    });
  });
}

const agree = (directions: readonly Direction[], direction: Direction): boolean =>
  directions.includes(direction) && !directions.includes(opposite(direction));

/** Does a number say the same as the eye, and none the opposite? */
export const numberAgrees = (finding: string, side: Side, d: Direction, films: FilmPair): boolean =>
  agree(directionsMeasured(finding, side, films), d);

/** Does the eye say the same as a number, and never the opposite? */
export const eyeAgrees = (measurement: string, side: Side, d: Direction, films: FilmPair): boolean =>
  agree(directionsSeen(measurement, side, films), d);
