/** The moment of mid-pull: where it is, and how far what is seen may be from it. */
import { mean } from 'simple-statistics';
import { MID_SHARE, tipOf } from './pulls.ts';
import type { Timing } from './quantity.ts';
import { finite, valueAt } from './sample.ts';
import { coordinate, type Scene } from './scene.ts';
import type { Arm } from './types.ts';

/** From the side, a hand off the plane of the shoulder seems to pass it a centimetre early or late (0.1 m in 5.5 m, half a
 * metre off the middle of the picture; similar triangles). */
const PASSING_M = 0.01;

/**
 * What it costs to read a series at a moment that misses the meant one: half its change over that time.
 * @param shift in frames
 * @returns standard deviation in the unit of the series
 */
export function momentSd(series: readonly number[], moments: readonly number[], shift: number): number {
  const halves = finite(moments.map((m) => (valueAt(series, m + shift) - valueAt(series, m - shift)) / 2));
  return halves.length === 0 ? 0 : Math.abs(mean(halves));
}

/** How far the seen moment may be from the hand passing below the shoulder, in frames. */
export function momentShift(scene: Scene, timing: Timing, side: Arm): number {
  if (scene.view === '3d') return 0;
  if (!scene.axes.includes('forward')) return MID_SHARE * (timing.period ?? 1.5 * scene.frameRate);
  const tip = coordinate(scene, tipOf(scene, side) ?? `${side}-wrist`, 'forward', 'smooth');
  const shoulder = coordinate(scene, `${side}-shoulder`, 'forward', 'smooth');
  const ahead = tip.map((v, i) => v - shoulder[i]!);
  const speeds = finite(midsOf(timing, side).map((m) => (valueAt(ahead, m - 1) - valueAt(ahead, m + 1)) / 2));
  return speeds.length === 0 || mean(speeds) <= 0 ? 0 : PASSING_M / mean(speeds);
}

/** Frames, fractional, in which the hand of that arm passes below its shoulder. */
export const midsOf = (timing: Timing, side: Arm): number[] => timing.pulls[side].map((p) => p.mid);
