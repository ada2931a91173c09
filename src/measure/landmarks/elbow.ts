/** Angles of the elbow in mid-pull and at full reach. */
import { mean } from 'simple-statistics';
import { tops } from './extremum.ts';
import { midsOf, momentSd, momentShift } from './mid-pull.ts';
import { tipOf } from './pulls.ts';
import { fromBelievableChange, type Quantity, type Reading, type Timing } from './quantity.ts';
import { finite, valueAt } from './sample.ts';
import { coordinate, noiseOf, positionIn, type Scene } from './scene.ts';
import type { Arm } from './types.ts';
import { interiorAngle, interiorAngleSd, length, minus } from './vector.ts';

/**
 * Upper arm and forearm each out of the picture plane by f and g change the angle between them: cos a = cos p cos f cos g
 * + sin f sin g. With both 12 degrees (judgement: mid-pull seen from the front), either way, an angle of 100 changes by 2.5.
 */
const OUT_OF_PLANE_DEG = 2.5;
/** Seen this much shorter than at its longest, a segment points 40 degrees at the camera: its angle is not shown (judgement). */
const FORESHORTENED = 0.75;

/** @returns interior elbow angle frame by frame, in degrees (180 is straight); NaN where a point is missing */
export function elbowSeries(scene: Scene, side: Arm): number[] {
  const at = (name: string, frame: number): number[] =>
    positionIn(scene, `${side}-${name}`, scene.axes, frame, 'smooth');
  return Array.from({ length: scene.frames }, (_, i) =>
    interiorAngle(at('shoulder', i), at('elbow', i), at('wrist', i)),
  );
}

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

export const ELBOW = [elbowAngleMid, extensionElbow] as const;
