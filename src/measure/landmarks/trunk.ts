/** Incline of the trunk, depth of the hips and sway of the hips. */
import { mean } from 'simple-statistics';
import { depthSd, lengthSd, levelSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { CM, fromBelievableChange, type Quantity, type Reading, SIDES } from './quantity.ts';
import { coordinate, hasPoints, type Scene } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import type { Arm } from './types.ts';
import { DEGREES } from './vector.ts';
import { cycleWindows, SHARED_CYCLES, within } from './windows.ts';

/** One side's shoulder to hip: the roll tilts that line, evenly over a cycle if the roll is even; asymmetry leaves this
 * (judgement). */
const ONE_SIDE_DEG = 2;
/** One side's line needs nearly whole cycles, or only one half of the roll would be seen (judgement). */
const WHOLE_CYCLE = 0.9;
/** The line between the middles needs only some frames of each cycle: the roll does not tilt it (judgement). */
const SOME_OF_CYCLE = 0.15;

function inclineSeries(scene: Scene, names: readonly { shoulder: string; hip: string }[]): number[] {
  const middle = (part: 'shoulder' | 'hip', axis: 'forward' | 'up'): number[] =>
    Array.from({ length: scene.frames }, (_, i) =>
      mean(names.map((n) => coordinate(scene, n[part], axis, 'smooth')[i]!)),
    );
  const [sf, su] = [middle('shoulder', 'forward'), middle('shoulder', 'up')];
  const [hf, hu] = [middle('hip', 'forward'), middle('hip', 'up')];
  return sf.map((f, i) => Math.atan2(su[i]! - hu[i]!, Math.abs(f - hf[i]!)) * DEGREES);
}

const line = (side: Arm): { shoulder: string; hip: string } => ({
  shoulder: `${side}-shoulder`,
  hip: `${side}-hip`,
});

/** Trunk incline frame by frame in degrees, from the middles or from the only side that was tracked. */
export function trunkIncline(scene: Scene): { series: number[]; oneSide: boolean } | undefined {
  const sides = SIDES.filter((side) =>
    hasPoints(scene, [`${side}-shoulder`, `${side}-hip`], ['forward', 'up']),
  );
  if (sides.length === 0) return undefined;
  return { series: inclineSeries(scene, sides.map(line)), oneSide: sides.length === 1 };
}

export const trunkInclineQuantity: Quantity = {
  code: 'trunk-incline',
  unit: 'deg',
  views: ['side-under', '3d'],
  points: ['*-shoulder', '*-hip'],
  sided: false,
  needs: [],
  typicalSd: fromBelievableChange(3),
  formula:
    'atan2(shoulder above hip, shoulder ahead of hip), plus when the hips are lower; mean over whole cycles',
  source: 'angle of the hip-shoulder line to the horizontal',
  measure: (scene, timing) => {
    const found = trunkIncline(scene);
    if (!found) return [];
    const share = found.oneSide ? WHOLE_CYCLE : SOME_OF_CYCLE;
    const values = cycleWindows(scene.frames, timing.period).flatMap((w) => {
      const inside = within(found.series, w, share);
      return inside ? [mean(inside)] : [];
    });
    const systematic = Math.hypot(levelSd(scene), found.oneSide ? ONE_SIDE_DEG : 0);
    return [
      {
        side: 'body',
        values,
        systematic,
        varianceFactor: SHARED_CYCLES,
        facts: { line: found.oneSide ? 'one side' : 'middles of both sides' },
      },
    ];
  },
};

/** The seat is about this far behind the middle of the picture, in metres (body proportions; judgement). */
const SEAT_ALONG_M = 0.2;

export const hipDepth: Quantity = {
  code: 'hip-depth',
  unit: 'cm',
  views: ['side-under', '3d'],
  points: ['seat'],
  sided: false,
  needs: ['scale', 'waterline'],
  typicalSd: fromBelievableChange(3),
  formula: 'surface above the top of the seat, mean over whole cycles',
  source: 'definition of hip-depth',
  measure: (scene, timing) => {
    const depth = coordinate(scene, 'seat', 'up', 'smooth').map((v) => -v * CM);
    const values = cycleWindows(scene.frames, timing.period).flatMap((w) => {
      const inside = within(depth, w, WHOLE_CYCLE);
      return inside ? [mean(inside)] : [];
    });
    const size = values.length === 0 ? 0 : Math.abs(mean(values));
    const systematic = CM * depthSd(scene, 'trunk', size / CM, SEAT_ALONG_M);
    return [{ side: 'body', values, systematic, varianceFactor: SHARED_CYCLES }];
  },
};

/**
 * Takes off the slow drift of a swimmer who does not swim quite straight: the mean over exactly one cycle around each frame;
 * NaN where that cycle is not whole.
 */
function withoutDrift(values: readonly number[], period: number): number[] {
  const half = Math.round(period / 2);
  const sums = [0];
  const missing = [0];
  for (const v of values) {
    sums.push(sums.at(-1)! + (Number.isFinite(v) ? v : 0));
    missing.push(missing.at(-1)! + (Number.isFinite(v) ? 0 : 1));
  }
  return values.map((v, i) => {
    const [from, to] = [i - half, i + half];
    if (from < 0 || to > values.length || missing[to]! > missing[from]!) return Number.NaN;
    return v - (sums[to]! - sums[from]!) / (2 * half);
  });
}

export const hipSway: Quantity = {
  code: 'hip-sway',
  unit: 'cm',
  views: ['overhead', 'rear', '3d'],
  points: ['*-hip'],
  sided: false,
  needs: ['scale', 'cycle'],
  // a seventh of a sway of 8 cm (judgement)
  typicalSd: 1.2,
  formula:
    'highest less lowest sideways place of the middle of the hips in a cycle, against its mean over one cycle',
  source: 'definition of hip-sway',
  measure: (scene, timing) => {
    const period = timing.period!;
    const middle = (kind: 'smooth' | 'raw'): number[] => {
      const left = coordinate(scene, 'left-hip', 'left', kind);
      return coordinate(scene, 'right-hip', 'left', kind).map((v, i) => ((v + left[i]!) / 2) * CM);
    };
    const raw = withoutDrift(middle('raw'), period);
    const smooth = withoutDrift(middle('smooth'), period);
    const noise = differenceNoise(raw);
    const sideways = (sign: 1 | -1): number[] => {
      const turned = raw.map((v) => sign * v);
      return tops(
        smooth.map((v) => sign * v),
        0.4 * period,
      ).map((i) => apex(turned, noise, i, period / 8).value);
    };
    const [to, fro] = [sideways(1), sideways(-1)];
    const values = to.slice(0, fro.length).map((v, i) => v + fro[i]!);
    const size = values.length === 0 ? 0 : Math.abs(mean(values));
    return [{ side: 'body', values, systematic: lengthSd(scene, 'trunk') * size } satisfies Reading];
  },
};

export const TRUNK = [trunkInclineQuantity, hipDepth, hipSway] as const;
