/** Two short tests against the watch: 25 m of kick, and swimming with and without a pull buoy. */
import { sum } from 'simple-statistics';
import type { Trial } from './critical-speed.ts';
import { STOPWATCH_SD_S } from './lengths.ts';
import { figure, info, type Part, warning } from './reading.ts';
import { combined, meanOf } from './uncertainty.ts';

/** From repeat to repeat, relative: what gives the smallest believable changes of 5 % of a kick time and 3 points of gain. */
const KICK_CV = 0.02;
const SWIM_CV = 0.012;
/** A kick over another distance is scaled when it is near 25 m: 25 yards are 22.9 m. */
const KICK_FROM_M = 20;
const KICK_TO_M = 30;

/**
 * Time of a kick over 25 m (common practice: board, no fins). Distances of 20 to 30 m are scaled, others left out with a note.
 *
 * @param kicks legs only, metres and seconds
 * @returns the mean in seconds
 */
export function measureKick(kicks: readonly Trial[]): Part {
  if (kicks.length === 0) return { readings: [], notes: [] };
  const about = { code: 'kick-25-time' };
  const fitting = kicks.filter((k) => k.metres >= KICK_FROM_M && k.metres <= KICK_TO_M);
  const notes = fitting.length < kicks.length ? [info('kick-not-25', about)] : [];
  if (fitting.length === 0) return { readings: [], notes };
  const times = fitting.map((k) => (25 * k.seconds) / k.metres).sort((a, b) => a - b);
  const usual = combined(STOPWATCH_SD_S, KICK_CV * (times[0] as number));
  const { value, standardDeviation } = meanOf(times, usual);
  return {
    readings: [
      {
        code: 'kick-25-time',
        side: 'body',
        value,
        standardDeviation,
        certainty: 'sure',
        derivation: {
          inputs: 'metres and seconds of the kick',
          formula: '25 x seconds / metres, mean of the repeats',
          source: 'common practice: board, no fins, steady and hard',
          each: times,
        },
      },
    ],
    notes,
  };
}

const totalSpeed = (swims: readonly Trial[]): number =>
  sum(swims.map((s) => s.metres)) / sum(swims.map((s) => s.seconds));

/** Relative standard deviation of the mean speed of some repeats. */
function relativeSd(swims: readonly Trial[]): number {
  const speeds = swims.map((s) => s.metres / s.seconds);
  const shortest = Math.min(...swims.map((s) => s.seconds));
  const usual = totalSpeed(swims) * combined(SWIM_CV, STOPWATCH_SD_S / shortest);
  return meanOf(speeds, usual).standardDeviation / totalSpeed(swims);
}

const sorted = (swims: readonly Trial[]): Trial[] =>
  [...swims].sort((a, b) => a.metres - b.metres || a.seconds - b.seconds);

/**
 * Change of speed with a pull buoy at equal effort (common practice).
 *
 * @param withBuoy and `without`: repeats over one distance, metres and seconds
 * @returns percent, plus: faster with the buoy; refused when the distances differ
 */
export function measureBuoy(withBuoy: readonly Trial[], without: readonly Trial[]): Part {
  const about = { code: 'buoy-gain' };
  const [buoy, plain] = [sorted(withBuoy), sorted(without)];
  if (buoy.length === 0 && plain.length === 0) return { readings: [], notes: [] };
  if (buoy.length === 0 || plain.length === 0)
    return { readings: [], notes: [info('buoy-needs-both', about)] };
  const distances = new Set([...buoy, ...plain].map((s) => figure(s.metres, 3)));
  if (distances.size > 1) return { readings: [], notes: [warning('buoy-other-distance', about)] };
  const [fast, slow] = [totalSpeed(buoy), totalSpeed(plain)];
  const fewest = Math.min(buoy.length, plain.length);
  return {
    readings: [
      {
        code: 'buoy-gain',
        side: 'body',
        value: (100 * (fast - slow)) / slow,
        standardDeviation: (100 * fast * combined(relativeSd(buoy), relativeSd(plain))) / slow,
        certainty: fewest >= 2 ? 'sure' : 'likely',
        derivation: {
          inputs: 'metres and seconds with and without the buoy',
          formula: '100 x (speed with - speed without) / speed without; speed: all metres / all seconds',
          source: 'common practice: equal effort, two or three repeats each',
          secondsWith: buoy.map((s) => s.seconds),
          secondsWithout: plain.map((s) => s.seconds),
          metres: plain[0]?.metres ?? null,
        },
      },
    ],
    notes: fewest < 2 ? [info('buoy-one-repeat', about)] : [],
  };
}
