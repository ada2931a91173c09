/** Roll of shoulders and hips, seen along the swimming direction. Plus towards the side that is turned up. */
import { mean, standardDeviation } from 'simple-statistics';
import { levelSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { fromBelievableChange, type Quantity, type Reading, SIDES, type Timing } from './quantity.ts';
import { coordinate, type Kind, type Scene } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import type { Arm } from './types.ts';
import { DEGREES } from './vector.ts';
import { topsInSight } from './windows.ts';

/** Roll in degrees frame by frame, plus when the left side is up. */
export function rollSeries(scene: Scene, part: 'shoulder' | 'hip', kind: Kind): number[] {
  const apart = (axis: 'left' | 'up'): number[] => {
    const right = coordinate(scene, `right-${part}`, axis, kind);
    return coordinate(scene, `left-${part}`, axis, kind).map((v, i) => v - right[i]!);
  };
  const [across, up] = [apart('left'), apart('up')];
  return across.map((a, i) => Math.atan2(up[i]!, a) * DEGREES);
}

function peaks(scene: Scene, timing: Timing, part: 'shoulder' | 'hip', side: Arm): number[] {
  const sign = side === 'left' ? 1 : -1;
  const smooth = rollSeries(scene, part, 'smooth').map((v) => sign * v);
  const raw = rollSeries(scene, part, 'raw').map((v) => sign * v);
  const found = tops(smooth, 0.4 * timing.period!);
  if (!topsInSight(scene, found.length, timing.period!)) return [];
  const noise = differenceNoise(raw);
  return found.map((i) => apex(raw, noise, i, timing.period! / 8).value);
}

function rollQuantity(code: string, part: 'shoulder' | 'hip'): Quantity {
  return {
    code,
    unit: 'deg',
    views: ['front-under', 'rear', '3d'],
    points: [`left-${part}`, `right-${part}`],
    sided: true,
    leavesWater: true,
    needs: ['cycle'],
    typicalSd: fromBelievableChange(6),
    formula: `largest atan2(height, breadth) of the ${part} line in each cycle, to the side that is turned up`,
    source: 'angle of the shoulder or hip line in the front view',
    measure: (scene, timing) =>
      SIDES.map(
        (side): Reading => ({
          side,
          values: peaks(scene, timing, part, side),
          systematic: levelSd(scene),
        }),
      ),
  };
}

export const shoulderRoll = rollQuantity('shoulder-roll', 'shoulder');
export const hipRoll = rollQuantity('hip-roll', 'hip');

export const rollAsymmetry: Quantity = {
  code: 'roll-asymmetry',
  unit: 'deg',
  views: ['front-under', 'rear', '3d'],
  points: ['left-shoulder', 'right-shoulder'],
  sided: true,
  leavesWater: true,
  needs: ['cycle'],
  typicalSd: fromBelievableChange(6),
  formula: 'mean shoulder roll to the side rolled to more, less that to the other side',
  source: 'definition of roll-asymmetry',
  measure: (scene, timing) => {
    const left = peaks(scene, timing, 'shoulder', 'left');
    const right = peaks(scene, timing, 'shoulder', 'right');
    if (left.length === 0 || right.length === 0) return [];
    const rightMinusLeft = mean(right) - mean(left);
    const side = rightMinusLeft < 0 ? 'left' : 'right';
    const [more, less] = side === 'left' ? [left, right] : [right, left];
    // a camera off level adds to one side what it takes from the other
    const systematic = 2 * levelSd(scene);
    const count = Math.min(more.length, less.length);
    const values = more.slice(0, count).map((v, i) => v - less[i]!);
    const shift = mean(more) - mean(less) - mean(values);
    return [
      {
        side,
        values: values.map((v) => v + shift),
        systematic,
        facts: {
          rightMinusLeftDeg: rightMinusLeft,
          cycleSdDeg: count > 1 ? standardDeviation(values) : null,
        },
      },
    ];
  },
};

export const ROLL = [shoulderRoll, hipRoll, rollAsymmetry] as const;
