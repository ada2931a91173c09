/** How far the hand is from the midline at full reach, in mid-pull and in the recovery. */
import { mean, standardDeviation } from 'simple-statistics';
import { DISTANCE_M, lengthSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { lowPassGain } from './low-pass.ts';
import { midlineOf } from './midline.ts';
import { MID_SHARE } from './pulls.ts';
import { CM, fromBelievableChange, type Quantity, type Reading } from './quantity.ts';
import { finite, meanSize, subtract, valueAt } from './sample.ts';
import type { Scene } from './scene.ts';
import { momentsOf } from './surface.ts';
import type { Arm } from './types.ts';

/**
 * Full reach is a flat top, and the hand may drift sideways on it. From above, a hand that sinks by 0.1 m meanwhile (0.2 s at
 * 0.5 m/s, judgement) looks nearer to the shoulders by 0.1 / 5.5 of a reach of 0.7 m, so every place that comes this close
 * to the farthest may be the farthest.
 */
const FLAT_M = (0.7 * 0.1) / DISTANCE_M;
/** In space only the noise blurs the top. */
const FLAT_3D_M = 0.003;

/** Standard deviation of a sideways place over the frames around `at` in which the hand is about as far ahead. */
function driftSd(
  off: readonly number[],
  ahead: readonly number[],
  at: number,
  within: number,
  reach: number,
): number {
  const top = valueAt(ahead, at);
  const places: number[] = [];
  for (let i = Math.ceil(at - reach); i <= at + reach; i++)
    if (ahead[i]! >= top - within && Number.isFinite(off[i])) places.push(off[i]!);
  return places.length < 2 ? 0 : standardDeviation(places);
}

export const reachOffset: Quantity = {
  code: 'reach-offset',
  unit: 'cm',
  views: ['overhead', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder', 'left-hip', 'right-hip'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(4),
  formula:
    'distance of the fingertip from the midline when it is farthest ahead of the shoulders, plus on its own side',
  source: 'definition of reach-offset',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    return sides.map((side): Reading => {
      const off = midline.outwardOf(`${side}-hand`, side).map((v) => v * CM);
      const ahead = midline.aheadOf(`${side}-hand`);
      const farthest = tops(ahead, 0.4 * timing.period!).map(
        (i) => apex(ahead, 0, i, timing.period! / 16).at,
      );
      const values = finite(farthest.map((at) => valueAt(off, at)));
      const flat = scene.view === '3d' ? FLAT_3D_M : FLAT_M;
      const moving = meanSize(farthest.map((at) => driftSd(off, ahead, at, flat, 0.2 * timing.period!)));
      return {
        side,
        values,
        systematic: Math.hypot(lengthSd(scene, 'trunk') * meanSize(values), midline.sdAhead * CM, moving),
      };
    });
  },
};

export const handOffsetMid: Quantity = {
  code: 'hand-offset-mid',
  unit: 'cm',
  views: ['front-under', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(4),
  formula:
    'distance of the fingertip from the midline when it passes below the shoulder, plus on its own side',
  source: 'definition of hand-offset-mid',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    return sides.map((side): Reading => {
      const off = midline.outwardOf(`${side}-hand`, side).map((v) => v * CM);
      const fromShoulder = subtract(
        off,
        midline.outwardOf(`${side}-shoulder`, side).map((v) => v * CM),
      );
      const mids = momentsOf(timing.pulls[side], 'mid');
      const values = finite(mids.map((m) => valueAt(off, m)));
      const travels = timing.pulls[side].flatMap(({ entry, exit }) => {
        if (entry === undefined || exit === undefined) return [];
        const way = finite(off.slice(Math.ceil(entry), Math.floor(exit) + 1));
        return way.length === 0 ? [] : [Math.max(...way) - Math.min(...way)];
      });
      const shift = scene.view === '3d' ? 0 : MID_SHARE * timing.period!;
      const moment = finite(mids.map((m) => (valueAt(off, m + shift) - valueAt(off, m - shift)) / 2));
      const outside = finite(mids.map((m) => valueAt(fromShoulder, m)));
      return {
        side,
        values,
        systematic: Math.hypot(
          lengthSd(scene, 'arm') * meanSize(values),
          Math.sqrt(mean([0, ...moment.map((v) => v * v)])),
        ),
        facts: {
          ...(travels.length > 0 && { sideTravelCm: mean(travels) }),
          ...(outside.length > 0 && { outsideShoulderCm: mean(outside) }),
        },
      };
    });
  },
};

/**
 * In the recovery the hand is about a quarter of a metre above the water (judgement). From overhead it looks farther from the
 * midline by similar triangles; that is taken off. The shoulder is about as high as the calibrated plane.
 */
const ABOVE_M = 0.25;
const ABOVE_GAIN = DISTANCE_M / (DISTANCE_M - ABOVE_M);
/** The swing of the hand outward and back: its height in cm, and the frequency of so short a movement in Hz (judgement). */
const SWING_CM = 30;
const SWING_HZ = 2.5;

/** What the low-pass takes off the top of the swing, in cm. */
function flattened(scene: Scene, side: Arm): number {
  const cutOffHz = scene.points.get(`${side}-hand`)?.left?.cutOffHz;
  return cutOffHz === undefined ? 0 : SWING_CM * (1 - lowPassGain(SWING_HZ, cutOffHz));
}

export const recoveryWidth: Quantity = {
  code: 'recovery-width',
  unit: 'cm',
  views: ['overhead', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder', 'left-hip', 'right-hip'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(8),
  formula:
    'distance of the fingertip outside the shoulder, square to the midline, when it passes the shoulder going forward',
  source: 'definition of recovery-width',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    const gain = scene.view === 'overhead' ? ABOVE_GAIN : 1;
    return sides.map((side): Reading => {
      const outside = subtract(
        midline.outwardOf(`${side}-hand`, side).map((v) => v / gain),
        midline.outwardOf(`${side}-shoulder`, side),
      ).map((v) => v * CM);
      const ahead = subtract(midline.aheadOf(`${side}-hand`), midline.aheadOf(`${side}-shoulder`));
      const passes: number[] = [];
      for (let i = 1; i < ahead.length; i++)
        if (ahead[i - 1]! < 0 && ahead[i]! >= 0) {
          const at = i - ahead[i]! / (ahead[i]! - ahead[i - 1]!);
          if (passes.length === 0 || at - passes.at(-1)! > 0.6 * timing.period!) passes.push(at);
        }
      const lost = flattened(scene, side);
      const values = finite(passes.map((m) => valueAt(outside, m) + lost));
      return {
        side,
        values,
        systematic: Math.hypot(lengthSd(scene, 'arm') * meanSize(values), lost / 2),
      };
    });
  },
};

export const HAND_ASIDE = [reachOffset, handOffsetMid, recoveryWidth] as const;
