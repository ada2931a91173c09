/** Angles of the arm at the catch, in mid-pull and at full reach. */
import { mean } from 'simple-statistics';
import type { Axis } from './axes.ts';
import { levelSd, obliqueSd } from './camera.ts';
import { tops } from './extremum.ts';
import { MID_SHARE, type Pull, tipOf } from './pulls.ts';
import { fromBelievableChange, type Quantity, type Reading, type Timing } from './quantity.ts';
import { finite, valueAt } from './sample.ts';
import { coordinate, noiseOf, positionIn, type Scene } from './scene.ts';
import type { Arm } from './types.ts';
import { DEGREES, interiorAngle, interiorAngleSd, length, minus } from './vector.ts';

/** From the side, a hand off the plane of the shoulder seems to pass it a centimetre early or late (0.1 m in 5.5 m, half a
 * metre off the middle of the picture). */
const PASSING_M = 0.01;
/**
 * Upper arm and forearm each out of the picture plane by f and g change the angle between them: cos a = cos p cos f cos g
 * + sin f sin g. With both 12 degrees (judgement: mid-pull seen from the front), either way, an angle of 100 changes by 2.5.
 */
const OUT_OF_PLANE_DEG = 2.5;
/** Seen this much shorter than at its longest, a segment points so far at the camera that its angle is not shown. */
const FORESHORTENED = 0.75;

/** Elbow angle frame by frame, in degrees. */
export function elbowSeries(scene: Scene, side: Arm): number[] {
  const at = (name: string, frame: number): number[] =>
    positionIn(scene, `${side}-${name}`, scene.axes, frame, 'smooth');
  return Array.from({ length: scene.frames }, (_, i) =>
    interiorAngle(at('shoulder', i), at('elbow', i), at('wrist', i)),
  );
}

function segment(scene: Scene, side: Arm, axis: Axis): number[] {
  const elbow = coordinate(scene, `${side}-elbow`, axis, 'smooth');
  return coordinate(scene, `${side}-wrist`, axis, 'smooth').map((v, i) => v - elbow[i]!);
}

/** Forearm below the horizontal, seen from the side: 0 flat ahead, 90 straight down, more when it points back. */
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

/** Half the change of a series over the time by which the seen moment may miss the meant one. */
function momentSd(series: readonly number[], moments: readonly number[], shift: number): number {
  const halves = finite(moments.map((m) => (valueAt(series, m + shift) - valueAt(series, m - shift)) / 2));
  return halves.length === 0 ? 0 : Math.abs(mean(halves));
}

/** How far the seen moment may be from the hand passing below the shoulder, in frames. */
function momentShift(scene: Scene, timing: Timing, side: Arm): number {
  if (scene.view === '3d') return 0;
  if (!scene.axes.includes('forward')) return MID_SHARE * (timing.period ?? 1.5 * scene.frameRate);
  const tip = coordinate(scene, tipOf(scene, side) ?? `${side}-wrist`, 'forward', 'smooth');
  const shoulder = coordinate(scene, `${side}-shoulder`, 'forward', 'smooth');
  const ahead = tip.map((v, i) => v - shoulder[i]!);
  const speeds = finite(midsOf(timing, side).map((m) => (valueAt(ahead, m - 1) - valueAt(ahead, m + 1)) / 2));
  return speeds.length === 0 || mean(speeds) <= 0 ? 0 : PASSING_M / mean(speeds);
}

const midsOf = (timing: Timing, side: Arm): number[] => timing.pulls[side].map((p) => p.mid);

/** Moments at which neither upper arm nor forearm points so far at the camera that the angle between them is not shown. */
function inPlane(scene: Scene, side: Arm, moments: readonly number[]): number[] {
  if (scene.view === '3d') return [...moments];
  const shown = (from: string, to: string): { lengths: number[]; longest: number } => {
    const at = (name: string, frame: number): number[] =>
      positionIn(scene, `${side}-${name}`, scene.axes, frame, 'smooth');
    const lengths = Array.from({ length: scene.frames }, (_, i) => length(minus(at(from, i), at(to, i))));
    const longest = Math.max(0, ...finite(lengths));
    return { lengths, longest };
  };
  const segments = [shown('shoulder', 'elbow'), shown('elbow', 'wrist')];
  return moments.filter((m) =>
    segments.every(({ lengths, longest }) => !(valueAt(lengths, m) < FORESHORTENED * longest)),
  );
}

export const elbowAngleMid: Quantity = {
  code: 'elbow-angle-mid',
  unit: 'deg',
  views: ['front-under', '3d'],
  points: ['*-shoulder', '*-elbow', '*-wrist'],
  sided: true,
  needs: ['cycle'],
  typicalSd: fromBelievableChange(8),
  formula:
    'atan2(|u x w|, u.w) with u, w from the elbow to shoulder and wrist, when the hand is below the shoulder',
  source: 'interior angle at a joint; definition of elbow-angle-mid',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const series = elbowSeries(scene, side);
      const moments = inPlane(scene, side, midsOf(timing, side));
      const systematic =
        scene.view === '3d'
          ? 0
          : Math.hypot(OUT_OF_PLANE_DEG, momentSd(series, moments, momentShift(scene, timing, side)));
      return {
        side,
        values: finite(moments.map((m) => valueAt(series, m))),
        systematic,
        facts: {
          ...elbowElsewhere(scene, timing, side, series),
          ...frameNoise(scene, side, moments, finite(moments.map((m) => valueAt(series, m)))),
        },
      };
    }),
};

/** What the digitising noise of one unsmoothed frame alone does to the angle, so that a coach sees why to smooth. */
function frameNoise(
  scene: Scene,
  side: Arm,
  moments: readonly number[],
  angles: readonly number[],
): Record<string, number> {
  const at = (name: string): number[] =>
    positionIn(scene, `${side}-${name}`, scene.axes, Math.round(moments[0] ?? 0), 'smooth');
  const [upper, fore] = [length(minus(at('shoulder'), at('elbow'))), length(minus(at('elbow'), at('wrist')))];
  const noise = noiseOf(scene, [`${side}-shoulder`, `${side}-elbow`, `${side}-wrist`]);
  const sd = interiorAngleSd(noise, upper, fore, angles.length === 0 ? 90 : mean([...angles]));
  return Number.isFinite(sd) ? { oneFrameNoiseDeg: sd } : {};
}

/** Elbow at the catch and at the exit: the arm is out of every camera's plane there, so only 3D shows it. */
function elbowElsewhere(
  scene: Scene,
  timing: Timing,
  side: Arm,
  series: readonly number[],
): Record<string, number> {
  if (scene.view !== '3d') return {};
  const meanAt = (moments: readonly (number | undefined)[]): number | undefined => {
    const values = finite(moments.map((m) => (m === undefined ? Number.NaN : valueAt(series, m))));
    return values.length === 0 ? undefined : mean(values);
  };
  const atCatch = meanAt(timing.pulls[side].map((p) => p.catch));
  const atExit = meanAt(timing.pulls[side].map((p) => p.exit));
  return {
    ...(atCatch !== undefined && { elbowAngleAtCatchDeg: atCatch }),
    ...(atExit !== undefined && { elbowAngleAtExitDeg: atExit }),
  };
}

export const extensionElbow: Quantity = {
  code: 'extension-elbow',
  unit: 'deg',
  views: ['3d'],
  points: ['*-shoulder', '*-elbow', '*-wrist'],
  sided: true,
  needs: ['cycle'],
  typicalSd: fromBelievableChange(8),
  formula: 'interior angle shoulder-elbow-wrist when the hand is farthest ahead of the shoulder',
  source: 'interior angle at a joint; definition of extension-elbow',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const tip = tipOf(scene, side) ?? `${side}-wrist`;
      const shoulder = coordinate(scene, `${side}-shoulder`, 'forward', 'smooth');
      const reach = coordinate(scene, tip, 'forward', 'smooth').map((v, i) => v - shoulder[i]!);
      const series = elbowSeries(scene, side);
      return {
        side,
        values: finite(tops(reach, 0.4 * timing.period!).map((i) => series[i]!)),
        systematic: 0,
      };
    }),
};

/** The share of the way is good to half a hundredth: entry and exit to half a frame, the way to a few millimetres. */
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
