/** The kick: its height and its beats. */
import { mean, quantileSorted } from 'simple-statistics';
import { lengthSd } from './camera.ts';
import { apex } from './extremum.ts';
import type { Run } from './gaps.ts';
import { CM, type Quantity, SIDES } from './quantity.ts';
import { finite } from './sample.ts';
import { coordinate, hasPoints, type Scene } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import type { Arm } from './types.ts';
import { cycleWindows, SHARED_CYCLES } from './windows.ts';

/** A travel of the foot below this share of its whole range is no kick of its own (judgement). */
const SMALLEST_KICK_SHARE = 0.25;
/** A foot that moves less than this trails. Metres (judgement). */
const TRAILING_M = 0.06;
/** No one kicks faster than about 4 times a second with one leg, so two tops of one foot are this far apart, in
 * seconds (judgement). */
const CLOSEST_TOPS_S = 0.16;

/** Legs of which a point was seen at all on the vertical axis. */
export const trackedLegs = (scene: Scene, part: string): Arm[] =>
  SIDES.filter((side) => hasPoints(scene, [`${side}-${part}`], ['up']));

/** A turning point: frame (fractional once it is refined) and height in the unit of the series. */
export interface Turn {
  readonly at: number;
  readonly value: number;
  readonly top: boolean;
}

/** Turning points of a foot in order, tops and bottoms in turn; wiggles smaller than `least` are passed over. */
export function turningPoints(values: readonly number[], least: number): Turn[] {
  const turns: Turn[] = [];
  let high: { at: number; value: number } | undefined;
  let low: { at: number; value: number } | undefined;
  let rising: boolean | undefined;
  values.forEach((value, at) => {
    if (!Number.isFinite(value)) return;
    if (!high || value > high.value) high = { at, value };
    if (!low || value < low.value) low = { at, value };
    if (rising !== false && high.value - value > least) {
      turns.push({ ...high, top: true });
      rising = false;
      low = { at, value };
    } else if (rising !== true && value - low.value > least) {
      turns.push({ ...low, top: false });
      rising = true;
      high = { at, value };
    }
  });
  // the first turn may be where the recording starts
  return turns.filter((t) => t.at > 1);
}

function range(values: readonly number[]): number {
  const sorted = finite(values).sort((a, b) => a - b);
  return sorted.length === 0 ? 0 : quantileSorted(sorted, 0.97) - quantileSorted(sorted, 0.03);
}

interface Kicks {
  readonly turns: readonly Turn[];
  /** Frames from one bottom to the next, mean. */
  readonly interval: number;
  readonly bottoms: readonly number[];
}

/** @returns turning points of one ankle's height (metres, at fractional frames), refined on the raw samples; undefined when it was not tracked or hardly moves */
export function kicksOf(scene: Scene, side: Arm): Kicks | undefined {
  const smooth = coordinate(scene, `${side}-ankle`, 'up', 'smooth');
  const raw = coordinate(scene, `${side}-ankle`, 'up', 'raw');
  const whole = range(smooth);
  if (whole < TRAILING_M) return undefined;
  const rough = turningPoints(smooth, Math.max(TRAILING_M / 2, SMALLEST_KICK_SHARE * whole));
  const gaps = rough.slice(1).map((t, i) => t.at - rough[i]!.at);
  if (gaps.length < 2) return undefined;
  const halfWidth = Math.max(CLOSEST_TOPS_S * scene.frameRate, 2 * mean(gaps)) / 8;
  const noise = differenceNoise(raw);
  const turns = rough.map((t): Turn => {
    const sign = t.top ? 1 : -1;
    const found = apex(
      raw.map((v) => sign * v),
      noise,
      t.at,
      halfWidth,
    );
    return { at: found.at, value: sign * found.value, top: t.top };
  });
  const bottoms = turns.filter((t) => !t.top).map((t) => t.at);
  return { turns, bottoms, interval: (bottoms.at(-1)! - bottoms[0]!) / (bottoms.length - 1) };
}

/** Mean of the items that fall into each whole cycle. */
function perCycle(items: readonly { at: number; value: number }[], windows: readonly Run[]): number[] {
  return windows.flatMap(({ from, to }) => {
    const inside = items.filter((item) => item.at >= from && item.at < to).map((item) => item.value);
    return inside.length === 0 ? [] : [mean(inside)];
  });
}

export const kickAmplitude: Quantity = {
  code: 'kick-amplitude',
  unit: 'cm',
  views: ['side-under', '3d'],
  points: ['*-ankle'],
  sided: false,
  needs: ['scale'],
  // 6 % of a kick of 35 cm (judgement)
  typicalSd: 2,
  formula:
    'height of the ankle from a top to the next bottom and back, mean of the kicks of each cycle and of both legs',
  source: 'definition of kick-amplitude; ankle as the end of the kicking leg',
  measure: (scene, timing) => {
    const travels = trackedLegs(scene, 'ankle').flatMap((side) => {
      const turns = kicksOf(scene, side)?.turns ?? [];
      return turns.slice(1).map((t, i) => ({
        at: (t.at + turns[i]!.at) / 2,
        value: Math.abs(t.value - turns[i]!.value) * CM,
      }));
    });
    const values = perCycle(travels, cycleWindows(scene.frames, timing.period));
    const size = values.length === 0 ? 0 : mean(values);
    return [
      {
        side: 'body',
        values,
        systematic: lengthSd(scene, 'trunk') * size,
        varianceFactor: SHARED_CYCLES,
        facts: { kicks: travels.length },
      },
    ];
  },
};

export const kickBeats: Quantity = {
  code: 'kick-beats',
  unit: 'beats/cycle',
  views: ['side-under', 'rear', '3d'],
  points: ['*-ankle'],
  sided: false,
  needs: ['cycle'],
  // a beat of six timed to 4 % of its own length, mean of six: 6 x 4 % / sqrt 6 (judgement)
  typicalSd: 0.1,
  formula:
    '2 x arm cycle / time from one lowest point of an ankle to the next, mean of each cycle and of both legs',
  source: 'definition of kick-beats',
  measure: (scene, timing) => {
    const legs = trackedLegs(scene, 'ankle');
    const bottoms = legs.map((side) => kicksOf(scene, side)?.bottoms ?? []);
    const beats = bottoms.map((at) =>
      at.slice(1).map((b, i) => ({ at: (b + at[i]!) / 2, value: (2 * timing.period!) / (b - at[i]!) })),
    );
    const moving = beats.filter((b) => b.length > 0);
    const windows = cycleWindows(scene.frames, timing.period);
    const share = moving.length / legs.length;
    const values =
      moving.length === 0 ? windows.map(() => 0) : perCycle(moving.flat(), windows).map((v) => v * share);
    return [
      {
        side: 'body',
        values,
        systematic: 0,
        // timed end to end over N cycles, the error of an interval divides by N
        varianceFactor: 1 / Math.max(1, values.length),
        facts: { legs: legs.length, downbeats: bottoms.reduce((sum, b) => sum + b.length, 0) },
      },
    ];
  },
};

export const KICK = [kickAmplitude, kickBeats] as const;
