/** Pitch of the forearm at the catch and its tilt in mid-pull. */
import { mean } from 'simple-statistics';
import type { Axis } from './axes.ts';
import { levelSd, obliqueSd } from './camera.ts';
import { midsOf, momentSd, momentShift } from './mid-pull.ts';
import type { Pull } from './pulls.ts';
import { fromBelievableChange, type Quantity, type Reading } from './quantity.ts';
import { finite, valueAt } from './sample.ts';
import { coordinate, type Scene } from './scene.ts';
import type { Arm } from './types.ts';
import { DEGREES } from './vector.ts';

function segment(scene: Scene, side: Arm, axis: Axis): number[] {
  const elbow = coordinate(scene, `${side}-elbow`, axis, 'smooth');
  return coordinate(scene, `${side}-wrist`, axis, 'smooth').map((v, i) => v - elbow[i]!);
}

/**
 * Forearm below the horizontal, seen from the side: 0 flat ahead, 90 straight down, more when it points back.
 * @returns degrees frame by frame; NaN where a point is missing
 */
export function forearmPitchSeries(scene: Scene, side: Arm): number[] {
  const [forward, up] = [segment(scene, side, 'forward'), segment(scene, side, 'up')];
  return forward.map((f, i) => Math.atan2(-up[i]!, f) * DEGREES);
}

/** Forearm from the vertical, signed: plus when the wrist is ahead of the elbow (side) or outside of it (front). */
function tiltSeries(scene: Scene, side: Arm, axis: 'forward' | 'left'): number[] {
  const sign = axis === 'left' && side === 'right' ? -1 : 1;
  const [across, up] = [segment(scene, side, axis), segment(scene, side, 'up')];
  return across.map((a, i) => Math.atan2(sign * a, -up[i]!) * DEGREES);
}

/**
 * The share of the way is good to half a hundredth: entry and exit to half a frame of about 60, the way to a few millimetres
 * of 2 m (judgement).
 */
const WAY_SD = 0.5;

/** Change of the angle over what the share of the way is not known to. */
function wayShareSd(series: readonly number[], pulls: readonly Pull[]): number {
  const changes = finite(
    pulls.map(({ aroundCatch: span }) =>
      span ? (valueAt(series, span[1]) - valueAt(series, span[0])) / 2 : Number.NaN,
    ),
  );
  return changes.length === 0 ? 0 : WAY_SD * Math.abs(mean(changes));
}

export const forearmPitchAtCatch: Quantity = {
  code: 'forearm-pitch-at-catch',
  unit: 'deg',
  views: ['side-under', '3d'],
  points: ['*-shoulder', '*-elbow', '*-wrist', '*-hip'],
  sided: true,
  needs: ['waterline'],
  typicalSd: fromBelievableChange(8),
  formula:
    'atan2(elbow above wrist, wrist ahead of elbow) after 15 % of the hand path from entry to exit against the hip',
  source: 'angle to the horizontal; definition of forearm-pitch-at-catch',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const series = forearmPitchSeries(scene, side);
      const moments = timing.pulls[side].flatMap((p) => (p.catch === undefined ? [] : [p.catch]));
      return {
        side,
        values: finite(moments.map((m) => valueAt(series, m))),
        systematic: Math.hypot(levelSd(scene), obliqueSd(scene), wayShareSd(series, timing.pulls[side])),
      };
    }),
};

export const forearmFromVerticalMid: Quantity = {
  code: 'forearm-from-vertical-mid',
  unit: 'deg',
  views: ['side-under', 'front-under', '3d'],
  points: ['*-shoulder', '*-elbow', '*-wrist'],
  sided: true,
  needs: [],
  typicalSd: fromBelievableChange(8),
  formula:
    '|atan2(wrist off the elbow sideways or ahead, elbow above wrist)| when the hand is below the shoulder; 3D: the larger plane',
  source: 'angle to the vertical; definition of forearm-from-vertical-mid',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const moments = midsOf(timing, side);
      const planes = (['forward', 'left'] as const)
        .filter((axis) => scene.axes.includes(axis))
        .map((axis) => {
          const series = tiltSeries(scene, side, axis);
          const values = finite(moments.map((m) => valueAt(series, m)));
          const tilt = values.length === 0 ? 0 : mean(values);
          return { axis, series, values, tilt };
        })
        .sort((a, b) => Math.abs(b.tilt) - Math.abs(a.tilt));
      const { axis, series, values, tilt } = planes[0]!;
      const signed = tilt < 0 ? values.map((v) => -v) : values;
      return {
        side,
        values: signed,
        systematic: Math.hypot(
          levelSd(scene),
          obliqueSd(scene),
          momentSd(series, moments, momentShift(scene, timing, side)),
        ),
        facts: {
          plane: axis === 'left' ? 'front' : 'side',
          wristIs:
            axis === 'left'
              ? tilt < 0
                ? 'inside the elbow'
                : 'outside the elbow'
              : tilt < 0
                ? 'behind the elbow'
                : 'ahead of the elbow',
        },
      };
    }),
};

export const FOREARM = [forearmPitchAtCatch, forearmFromVerticalMid] as const;
