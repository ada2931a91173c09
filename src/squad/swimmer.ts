/** From a reading to the few numbers that grouping works with. */
import { LEVELS } from '../contract/common.ts';
import type { Aim, Swimmer, Weights } from './points.ts';
import type { Fit } from './reading.ts';

const ADULT = 18;
const YARD = 0.9144;

/** Digits beyond these come from sums in another order, and must not tip a tie. */
const rounded = (worth: number): number => Math.round(worth * 1e6) / 1e6;

/** The coach's own choice counts as certain: there is nothing left to weigh. */
export function aimsOf({ focus }: Pick<Fit, 'focus'>, { secondFocus }: Weights): Aim[] {
  const distinct = focus.filter((f, i) => focus.findIndex((o) => o.cause === f.cause) === i);
  return distinct.map(({ cause, chosenBy, probability }, rank) => ({
    cause,
    worth: rounded((chosenBy === 'coach' ? 1 : (probability ?? 0)) * (rank === 0 ? 1 : secondFocus)),
  }));
}

/** Seconds per 100 m; paces of different efforts say nothing about each other. */
export function paceOf({ record }: Fit): Swimmer['pace'] {
  const { pace, paceSecondsPer100, pool } = record.recording;
  const effort = pace ?? 'not stated';
  if (paceSecondsPer100 !== undefined)
    return { effort, secondsPer100: pool?.unit === 'yd' ? paceSecondsPer100 / YARD : paceSecondsPer100 };
  const measured = record.measurements.filter((m) => m.code === 'pace-per-100');
  if (measured.length === 0) return undefined;
  return { effort, secondsPer100: measured.reduce((sum, m) => sum + m.value, 0) / measured.length };
}

export function swimmerOf(fit: Fit, weights: Weights): Swimmer {
  const { level, age } = fit.record.swimmer;
  return {
    level: LEVELS.indexOf(level),
    adult: age === undefined ? undefined : age >= ADULT,
    pace: paceOf(fit),
    aims: aimsOf(fit, weights),
  };
}
