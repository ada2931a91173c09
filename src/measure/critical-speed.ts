/** Critical speed from all-out swims over two or more distances: D = CS x t + D' (Wakayoshi et al. 1992). */
import { linearRegression, mean, rSquared, sum } from 'simple-statistics';
import { figure, info, type Note, type Part, warning } from './reading.ts';

export interface Trial {
  readonly metres: number;
  readonly seconds: number;
  /** As it was given, where it was given in yards. */
  readonly yards?: number | undefined;
}

export interface CriticalSpeed {
  /** m/s. */
  readonly speed: number;
  /** D' in metres. It varies by 13-45 % from test to test: never a verdict on the swimmer. */
  readonly distanceCapacity: number;
  /** Of distance on time; 1 for two distances. */
  readonly rSquared: number;
}

/** Test-retest variation of a maximal swim (PMC10875687: 2 %; it gives the published 0.04 m/s for 200 and 400 m). */
const TRIAL_CV = 0.02;
/** Efforts outside this range of time leave the straight line (seconds). */
const SHORTEST_S = 120;
const LONGEST_S = 1800;

/**
 * Least squares of distance on time, not of time on distance: D = CS x t + D' (Wakayoshi et al. 1992).
 *
 * @param trials at least two distances, metres and seconds
 * @returns speed in m/s, distance capacity in metres; not a number for one distance, which callers refuse
 */
export function criticalSpeed(trials: readonly Trial[]): CriticalSpeed {
  const points = trials.map(({ metres, seconds }) => [seconds, metres]);
  const { m, b } = linearRegression(points);
  return { speed: m, distanceCapacity: b, rSquared: rSquared(points, (t) => m * t + b) };
}

/**
 * The line read the other way (Wakayoshi et al. 1992): good between the tested distances, too good far beyond them.
 *
 * @param metres distance
 * @returns seconds
 */
export function predictedSeconds({ speed, distanceCapacity }: CriticalSpeed, metres: number): number {
  return (metres - distanceCapacity) / speed;
}

/** Standard deviation of the slope in m/s, from the variation of each trial time. */
function speedSd(trials: readonly Trial[], speed: number): number {
  const middle = mean(trials.map((t) => t.seconds));
  const squares = sum(trials.map((t) => (t.seconds - middle) ** 2));
  // d(slope)/d(t_i) for errors of time that are small against the spread of the times
  return Math.sqrt(
    sum(trials.map((t) => (((t.seconds - middle) / squares) * speed * TRIAL_CV * t.seconds) ** 2)),
  );
}

/** The best swim over each distance, shortest distance first. */
function bestTrials(trials: readonly Trial[]): Trial[] {
  const best = new Map<number, Trial>();
  for (const trial of trials) {
    const known = best.get(trial.metres);
    // of two equal swims the one in yards keeps its name, whichever came first
    const named = trial.seconds === known?.seconds && known.yards === undefined;
    if (known === undefined || trial.seconds < known.seconds || named) best.set(trial.metres, trial);
  }
  return [...best.values()].sort((a, b) => a.metres - b.metres);
}

/**
 * A longer swim that is not slower per metre: the shorter one was not all-out. Without one the speeds fall with distance,
 * and the line then meets zero seconds at a distance above zero.
 */
function notAllOut(trials: readonly Trial[]): Trial | undefined {
  return trials.find((t, i) => {
    const next = trials[i + 1];
    return next !== undefined && t.seconds / t.metres >= next.seconds / next.metres;
  });
}

/** A distance as its coach would name it. */
const nameOf = ({ metres, yards }: Trial): string =>
  yards === undefined ? `${figure(metres, 1)} m` : `${figure(yards, 1)} yd`;

const list = (trials: readonly Trial[]): string => trials.map(nameOf).join(', ');

/**
 * Critical speed with its distances (Wakayoshi et al. 1992), without a verdict on the distance capacity.
 *
 * @param swims all-out swims in metres and seconds
 * @returns critical speed in m/s and as a pace in s/100 m, with the distances used; refused for one distance and for a
 *   swim that was plainly not all-out
 */
export function measureCriticalSpeed(swims: readonly Trial[]): Part {
  const about = { code: 'critical-speed' };
  const none = (note: Note): Part => ({ readings: [], notes: [note] });
  const trials = bestTrials(swims);
  if (trials.length === 0) return { readings: [], notes: [] };
  if (trials.length === 1)
    return none(info('critical-speed-one-distance', about, { distances: list(trials) }));
  const easy = notAllOut(trials);
  if (easy !== undefined)
    return none(warning('critical-speed-not-all-out', about, { distance: nameOf(easy) }));
  const fit = criticalSpeed(trials);
  const outside = trials.filter((t) => t.seconds < SHORTEST_S || t.seconds > LONGEST_S);
  const standardDeviation = speedSd(trials, fit.speed);
  const derivation = {
    inputs: 'metres and seconds of all-out swims, the best over each distance',
    source: "D = CS x t + D', Wakayoshi et al. 1992; trial variation of 2 % from test-retest (PMC10875687)",
    distances: trials.map((t) => t.metres),
    seconds: trials.map((t) => t.seconds),
    distanceCapacityM: fit.distanceCapacity,
    distanceCapacityNote: 'no verdict: it changes by 13-45 % from test to test',
    rSquared: fit.rSquared,
  };
  const certainty = outside.length === 0 ? ('sure' as const) : ('likely' as const);
  return {
    readings: [
      {
        code: 'critical-speed',
        side: 'body',
        value: fit.speed,
        standardDeviation,
        certainty,
        derivation: { ...derivation, formula: 'slope of the least-squares line of distance on time' },
      },
      {
        code: 'critical-pace',
        side: 'body',
        value: 100 / fit.speed,
        standardDeviation: (100 * standardDeviation) / fit.speed ** 2,
        certainty,
        derivation: { ...derivation, formula: '100 / critical speed' },
      },
    ],
    notes: [
      info('critical-speed-meaning', about, { distances: list(trials) }),
      ...(outside.length === 0 ? [] : [info('critical-speed-outside', about, { distances: list(outside) })]),
    ],
  };
}
