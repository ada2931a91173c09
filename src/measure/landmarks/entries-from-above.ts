/** Entries of the hand for a camera beside the lane and above the water, which does not see the pull. */
import { CLOSEST, tipOf } from './pulls.ts';
import { crossings, finite, subtract, valueAt } from './sample.ts';
import { coordinate, type Scene } from './scene.ts';
import { lineAtHand } from './surface.ts';
import type { Arm } from './types.ts';

/** No hand goes in nearer to the shoulder than this share of its farthest reach (bands of entry-reach begin at 45 %). */
const LEAST_REACH = 0.4;

/**
 * The last time that the hand goes down through the drawn surface ahead of the shoulder before it stays under.
 * @param period of the arm cycle in frames, where it is known
 * @returns frames, fractional; none without a waterline
 */
export function entriesFromAbove(scene: Scene, side: Arm, period: number | undefined): number[] {
  const tip = tipOf(scene, side);
  if (tip === undefined || !scene.hasWaterline) return [];
  const ahead = subtract(
    coordinate(scene, tip, 'forward', 'smooth'),
    coordinate(scene, `${side}-shoulder`, 'forward', 'smooth'),
  );
  const up = coordinate(scene, tip, 'up', 'smooth');
  const nearest = LEAST_REACH * Math.max(0, ...finite(ahead));
  const down = crossings(up, lineAtHand(scene, side), -1).filter((at) => valueAt(ahead, at) > nearest);
  const closest = CLOSEST * (period ?? scene.frameRate);
  return down.filter((at, i) => i + 1 === down.length || down[i + 1]! - at >= closest);
}
