/** Cutting a recording into whole cycles. */
import type { Run } from './gaps.ts';
import type { Scene } from './scene.ts';

/**
 * @param period frames per cycle; undefined: the whole recording is one window
 * @returns whole cycles, as many as fit, centred in the recording so that both ends are left out alike
 */
export function cycleWindows(frames: number, period: number | undefined): Run[] {
  if (period === undefined) return [{ from: 0, to: frames }];
  const count = Math.floor((frames - 1) / period);
  const start = (frames - 1 - count * period) / 2;
  return Array.from({ length: count }, (_, i) => ({
    from: Math.round(start + i * period),
    to: Math.round(start + (i + 1) * period),
  }));
}

/**
 * Windows are cut without regard to where the swimmer's own cycles begin, so neighbours share a cycle and are alike: with
 * independent cycles the variance of a window mean is 2/3 of that of a cycle on average over the cutting place, and the
 * variance of the mean of all windows is 3/2 of what independent windows would give.
 */
export const SHARED_CYCLES = 1.5;

/** Finite values of a series inside a window; undefined when fewer than `share` of its frames are there. */
export function within(values: readonly number[], window: Run, share: number): number[] | undefined {
  const inside = values.slice(window.from, window.to).filter(Number.isFinite);
  return inside.length >= Math.max(1, share * (window.to - window.from)) ? inside : undefined;
}

/** At least this share of the tops of a movement must be in sight of a film (judgement). */
const SEEN_SHARE = 0.8;

/**
 * Points leave the water, and the sight of a film, at the highest places of a movement; those that stay in sight are the
 * lower ones, and their mean would be too low. In space, points are lost without regard to that.
 * @param found how many tops were found
 * @param interval frames from one to the next
 */
export function topsInSight(scene: Scene, found: number, interval: number): boolean {
  return scene.view === '3d' || found >= SEEN_SHARE * (scene.frames / interval - 1);
}
