/**
 * How long one arm cycle takes, by autocorrelation.
 *
 * A harmonic of the stroke is often the strongest line of a spectrum, and a peak finder then halves the cycle. A half
 * cycle does not repeat the movement of an arm, so its autocorrelation stays well below that of the whole cycle; the
 * shortest lag that comes close to the best one is the cycle, not twice the cycle.
 */
import { mean } from 'simple-statistics';
import { isEndOn } from './axes.ts';
import { SIDES } from './quantity.ts';
import { finite, subtract } from './sample.ts';
import { coordinate, hasPoints, type Scene } from './scene.ts';
import type { Arm } from './types.ts';

/** Accepted cycles, in seconds: 10 to 80 cycles a minute (common practice). */
const SHORTEST_S = 0.75;
const LONGEST_S = 6;
/** A lag must repeat at least this well (judgement). */
const WEAKEST = 0.5;
/** The shortest lag at least this close to the best is taken; half a cycle stays well below (judgement). */
const CLOSE_TO_BEST = 0.9;
/** Longest lag as a share of the recording: beyond it too few pairs are left (judgement). */
const LONGEST_SHARE = 0.65;
/** Share of the finite samples that must form pairs at a lag (judgement). */
const FEWEST_PAIRS = 0.2;

/**
 * Correlation of several series with themselves `lag` frames later; pairs with a gap are left out.
 * @returns -1 to 1; NaN when too few pairs are left
 */
export function autocorrelation(series: readonly (readonly number[])[], lag: number): number {
  let [product, first, second] = [0, 0, 0];
  let [pairs, samples] = [0, 0];
  for (const values of series) {
    for (let i = 0; i < values.length; i++) {
      if (!Number.isFinite(values[i])) continue;
      samples++;
      const [a, b] = [values[i]!, values[i + lag] ?? Number.NaN];
      if (!Number.isFinite(b)) continue;
      pairs++;
      product += a * b;
      first += a * a;
      second += b * b;
    }
  }
  if (pairs < Math.max(10, FEWEST_PAIRS * samples) || first === 0 || second === 0) return Number.NaN;
  return product / Math.sqrt(first * second);
}

function centred(values: readonly number[]): number[] {
  const seen = finite(values);
  const middle = seen.length === 0 ? 0 : mean(seen);
  return values.map((v) => v - middle);
}

/**
 * @param series movements that repeat once a cycle, NaN in gaps
 * @returns cycle in frames, fractional; undefined when nothing repeats well enough or fewer than about one and a half
 *   cycles are there
 */
export function periodOf(series: readonly (readonly number[])[], frameRate: number): number | undefined {
  // 60 samples a second are plenty for a cycle, and high-speed film would take minutes
  const stride = Math.max(1, Math.floor(frameRate / 60));
  const thinned = series.map((values) => values.filter((_, i) => i % stride === 0));
  const found = lagOf(thinned, frameRate / stride);
  return found === undefined ? undefined : found * stride;
}

function lagOf(series: readonly (readonly number[])[], frameRate: number): number | undefined {
  const levelled = series.map(centred).filter((values) => values.some((v) => Math.abs(v) > 0));
  if (levelled.length === 0) return undefined;
  const frames = levelled[0]!.length;
  const from = Math.max(2, Math.ceil(SHORTEST_S * frameRate));
  const to = Math.floor(Math.min(LONGEST_S * frameRate, LONGEST_SHARE * frames));
  const at = (lag: number): number => autocorrelation(levelled, lag);
  const peaks: { lag: number; height: number }[] = [];
  let [before, here] = [at(from - 1), at(from)];
  for (let lag = from; lag <= to; lag++) {
    const after = at(lag + 1);
    if (here >= before && here > after) {
      const shift = (before - after) / (2 * (before - 2 * here + after));
      peaks.push({ lag: lag + (Number.isFinite(shift) ? shift : 0), height: here });
    }
    [before, here] = [here, after];
  }
  const best = Math.max(...peaks.map((p) => p.height), Number.NEGATIVE_INFINITY);
  if (best < WEAKEST) return undefined;
  return peaks.find((p) => p.height >= CLOSE_TO_BEST * best)?.lag;
}

/** Frames in which both series are there. */
const together = (a: readonly number[], b: readonly number[]): number => finite(subtract(a, b)).length;

/**
 * The point of the trunk or head that moves with the body and is in sight most often together with the hand: above water a
 * hip shows for moments only.
 */
function anchorOf(scene: Scene, side: Arm, tip: string): string | undefined {
  const axis = scene.axes[0]!;
  const own = coordinate(scene, tip, axis, 'smooth');
  let best: string | undefined;
  let most = 0;
  for (const name of [`${side}-hip`, `${side}-shoulder`, 'crown']) {
    const shared = together(own, coordinate(scene, name, axis, 'smooth'));
    if (shared > most) [best, most] = [name, shared];
  }
  return best;
}

/** Movements that repeat once per arm cycle: the arms against the trunk and the roll of the shoulders. Metres. */
export function armMovements(scene: Scene): (readonly number[])[] {
  const series: (readonly number[])[] = [];
  for (const side of SIDES) {
    const tip = ['hand', 'wrist', 'elbow']
      .map((n) => `${side}-${n}`)
      .find((n) => hasPoints(scene, [n], scene.axes));
    if (tip === undefined) continue;
    const anchor = anchorOf(scene, side, tip);
    for (const axis of scene.axes) {
      const own = coordinate(scene, tip, axis, 'smooth');
      series.push(anchor === undefined ? own : subtract(own, coordinate(scene, anchor, axis, 'smooth')));
    }
  }
  if (isEndOn(scene.view) || scene.view === '3d')
    series.push(
      subtract(
        coordinate(scene, 'left-shoulder', 'up', 'smooth'),
        coordinate(scene, 'right-shoulder', 'up', 'smooth'),
      ),
    );
  return series.filter((values) => values.some(Number.isFinite));
}
