/** The body midline, seen from overhead, from the front or in space. */
import { mean } from 'simple-statistics';
import { isEndOn } from './axes.ts';
import { finite } from './sample.ts';
import { coordinate, hasPoints, type Scene } from './scene.ts';
import type { Arm } from './types.ts';

/** The line that a hand crosses or does not. */
export interface Midline {
  /** Distance of a point from the midline in metres, frame by frame, plus towards that side. */
  readonly outwardOf: (name: string, side: Arm) => number[];
  /** Distance of a point ahead of the middle of the shoulders along the midline, in metres; NaN from the front. */
  readonly aheadOf: (name: string) => number[];
  /** Standard deviation of the midline where a reaching hand is, in metres. */
  readonly sdAhead: number;
}

/** The line of shoulders and hips is good to half a degree over a recording; half a metre ahead that is half a centimetre
 * (judgement). */
const SD_AHEAD_M = 0.005;

function middleOf(scene: Scene, name: string, axis: 'forward' | 'left'): number[] {
  const left = coordinate(scene, `left-${name}`, axis, 'smooth');
  return coordinate(scene, `right-${name}`, axis, 'smooth').map((v, i) => (v + left[i]!) / 2);
}

/** Mean direction from the hips to the shoulders, as an angle from forward to the left, radians. */
function bearing(scene: Scene): number {
  if (isEndOn(scene.view) || !hasPoints(scene, ['left-hip', 'right-hip'], ['forward', 'left'])) return 0;
  const along = (axis: 'forward' | 'left'): number => {
    const hips = middleOf(scene, 'hip', axis);
    const pieces = middleOf(scene, 'shoulder', axis).map((v, i) => v - hips[i]!);
    const seen = finite(pieces);
    return seen.length === 0 ? 0 : mean(seen);
  };
  return Math.atan2(along('left'), along('forward'));
}

/**
 * The midline runs through the middle of the shoulders, in the mean direction of the trunk over the recording; from the
 * front it is the vertical through the middle of the shoulders.
 * @returns distances from it and along it, in metres
 */
export function midlineOf(scene: Scene): Midline {
  const angle = bearing(scene);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const middleLeft = middleOf(scene, 'shoulder', 'left');
  const endOn = isEndOn(scene.view);
  const middleForward = endOn ? middleLeft.map(() => 0) : middleOf(scene, 'shoulder', 'forward');
  const offsets = (name: string): { ahead: number; left: number }[] => {
    const left = coordinate(scene, name, 'left', 'smooth');
    const forward = endOn ? left.map(() => 0) : coordinate(scene, name, 'forward', 'smooth');
    return left.map((v, i) => ({ ahead: forward[i]! - middleForward[i]!, left: v - middleLeft[i]! }));
  };
  return {
    outwardOf: (name, side) =>
      offsets(name).map(({ ahead, left }) => (side === 'left' ? 1 : -1) * (left * cos - ahead * sin)),
    aheadOf: (name) =>
      offsets(name).map(({ ahead, left }) => (endOn ? Number.NaN : ahead * cos + left * sin)),
    sdAhead: endOn ? 0 : SD_AHEAD_M,
  };
}
