/** Neck and head. */
import { mean, median } from 'simple-statistics';
import { lengthSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { CM, fromBelievableChange, type Quantity, type Reading, SIDES } from './quantity.ts';
import { coordinate, type Kind, type Scene } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import { trunkIncline } from './trunk.ts';
import type { Arm } from './types.ts';
import { DEGREES, wrapped } from './vector.ts';
import { cycleWindows, SHARED_CYCLES, within } from './windows.ts';

/**
 * Mean of the shortest half of the values: where they lie densest. Frames with a breath are fewer than the others and
 * lie aside, so they do not move it (the "shorth" of Andrews et al. 1972, Robust Estimates of Location).
 * @param values at least one, finite, in any unit
 * @returns the mean in the same unit
 */
export function shortestHalf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.ceil(sorted.length / 2);
  let best = 0;
  for (let i = 1; i + half <= sorted.length; i++)
    if (sorted[i + half - 1]! - sorted[i]! < sorted[best + half - 1]! - sorted[best]!) best = i;
  return mean(sorted.slice(best, best + half));
}

/** Head line from the base of the chin to the crown, against the horizontal, in degrees; plus when the crown is higher. */
function headLine(scene: Scene): number[] {
  const apart = (axis: 'forward' | 'up'): number[] => {
    const chin = coordinate(scene, 'chin', axis, 'smooth');
    return coordinate(scene, 'crown', axis, 'smooth').map((v, i) => v - chin[i]!);
  };
  const [forward, up] = [apart('forward'), apart('up')];
  return forward.map((f, i) => Math.atan2(up[i]!, f) * DEGREES);
}

/** Neck extension frame by frame, in degrees; the trunk line is its mean, since one shoulder is often out of sight. */
export function neckSeries(scene: Scene): number[] | undefined {
  const trunk = trunkIncline(scene)?.series.filter(Number.isFinite);
  if (!trunk || trunk.length === 0) return undefined;
  const incline = mean(trunk);
  return headLine(scene).map((v) => wrapped(v - incline));
}

export const neckExtension: Quantity = {
  code: 'neck-extension',
  unit: 'deg',
  views: ['side-under', '3d'],
  points: ['crown', 'chin', 'left-shoulder', 'right-shoulder', 'left-hip', 'right-hip'],
  sided: false,
  needs: [],
  typicalSd: fromBelievableChange(6),
  formula:
    'angle of the line chin to crown less that of the line hip to shoulder, plus = bent back; mean of the shortest half of each cycle, which leaves the breath out',
  source: 'definition of neck-extension; angle to the horizontal',
  measure: (scene, timing) => {
    const series = neckSeries(scene);
    if (!series) return [];
    const values = cycleWindows(scene.frames, timing.period).flatMap((w) => {
      const inside = within(series, w, 0.4);
      return inside ? [shortestHalf(inside)] : [];
    });
    // both lines turn alike when the camera is off level
    return [{ side: 'body', values, systematic: 0, varianceFactor: SHARED_CYCLES }];
  },
};

/** The eyes are 6.3 cm apart (mean of adults); one this much higher than the other means a head turned by 30 degrees
 * (from memory). */
const TURNED_M = 0.03;
/**
 * The eyes move a tenth of a metre towards the side breathed to. Seen from 5.5 m by a camera 0.35 m below or 0.85 m above
 * them, that alone moves them up (below, turn towards the camera) or down in the picture. Metres, for a turn to the camera.
 */
function faceShift(scene: Scene): number {
  if (scene.view === '3d') return 0;
  return (0.1 / 5.5) * (scene.view === 'side-above' ? -0.85 : 0.35);
}
/** Camera height and distance differ by this share from those (judgement). */
const FACE_SHIFT_SD = 0.4;

/** Time about the turn in which the eye is highest, as a share of a cycle (judgement). */
const DURING = 0.15;
/** Time before the turn that counts as the usual height of the eye, as shares of a cycle (judgement). */
const BEFORE = { from: 0.45, to: 0.25 } as const;

/** Samples from one frame to another; undefined when one is missing, since the highest may be the one out of sight. */
function stretch(values: readonly number[], from: number, to: number): number[] | undefined {
  if (from < 0 || to > values.length - 1) return undefined;
  const inside = values.slice(Math.round(from), Math.round(to) + 1);
  return inside.every(Number.isFinite) ? inside : undefined;
}

function eye(scene: Scene, side: Arm, kind: Kind): readonly number[] {
  return coordinate(scene, `${side}-eye`, 'up', kind);
}

export const headLift: Quantity = {
  code: 'head-lift',
  unit: 'cm',
  views: ['side-above', 'side-under', '3d'],
  points: ['left-eye', 'right-eye'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(2),
  formula:
    'highest place of the far eye while the head is turned, less its median from 0.45 to 0.25 cycles before',
  source: 'definition of head-lift; side = the side breathed to',
  measure: (scene, timing) => {
    const period = timing.period!;
    return SIDES.flatMap((side): Reading[] => {
      const far: Arm = side === 'left' ? 'right' : 'left';
      const low = eye(scene, far, 'smooth');
      const raw = eye(scene, far, 'raw');
      const noise = differenceNoise(raw);
      const towards = scene.nearSide === undefined ? 0 : scene.nearSide === side ? 1 : -1;
      const shift = towards * faceShift(scene);
      const turn = eye(scene, side, 'smooth').map((v, i) => v - low[i]!);
      const values = tops(turn, 0.4 * period).flatMap((breath) => {
        if (turn[breath]! < TURNED_M) return [];
        const during = stretch(low, breath - DURING * period, breath + DURING * period);
        const before = stretch(low, breath - BEFORE.from * period, breath - BEFORE.to * period);
        if (!during || !before) return [];
        const top = Math.round(breath - DURING * period) + during.indexOf(Math.max(...during));
        return [(apex(raw, noise, top, period / 16).value - median(before) - shift) * CM];
      });
      if (values.length === 0) return [];
      const shiftSd = (scene.nearSide === undefined ? 1 : FACE_SHIFT_SD) * faceShift(scene) * CM;
      const systematic = Math.hypot(lengthSd(scene, 'trunk') * Math.abs(mean(values)), shiftSd);
      return [{ side, values, systematic }];
    });
  },
};

export const HEAD = [neckExtension, headLift] as const;
