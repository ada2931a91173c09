/**
 * How long one arm cycle takes, by autocorrelation.
 *
 * A harmonic of the stroke is often the strongest line of a spectrum, and a peak finder then halves the cycle. A half
 * cycle does not repeat the movement of an arm, so its autocorrelation stays well below that of the whole cycle; the
 * shortest lag that comes close to the best one is the cycle, not twice the cycle.
 */
import { mean } from 'simple-statistics';
import { isEndOn } from './axes.ts';
import { coordinate, hasPoints, type Scene } from './scene.ts';

/** Accepted cycles, in seconds. */
const SHORTEST_S = 0.75;
const LONGEST_S = 6;
/** A lag must repeat at least this well. */
const WEAKEST = 0.5;
/** The shortest lag at least this close to the best is taken. */
const CLOSE_TO_BEST = 0.9;
/** Longest lag as a share of the recording: beyond it too few pairs are left. */
const LONGEST_SHARE = 0.65;
/** Share of the finite samples that must form pairs at a lag. */
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
  const finite = values.filter(Number.isFinite);
  const middle = finite.length === 0 ? 0 : mean(finite);
  return values.map((v) => v - middle);
}

/**
 * @param series movements that repeat once a cycle, NaN in gaps
 * @returns cycle in frames, fractional; undefined when nothing repeats well enough or fewer than about two cycles are there
 */
export function periodOf(series: readonly (readonly number[])[], frameRate: number): number | undefined {
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

const difference = (a: readonly number[], b: readonly number[]): number[] => a.map((v, i) => v - b[i]!);

/** Movements that repeat once per arm cycle: the arms against the trunk and the roll of the shoulders. */
export function armMovements(scene: Scene): (readonly number[])[] {
  const series: (readonly number[])[] = [];
  for (const side of ['left', 'right'] as const) {
    const tip = [`${side}-hand`, `${side}-wrist`, `${side}-elbow`].find((n) =>
      hasPoints(scene, [n], scene.axes),
    );
    if (tip === undefined) continue;
    const anchor = [`${side}-hip`, `${side}-shoulder`, 'crown'].find((n) =>
      hasPoints(scene, [n], scene.axes),
    );
    for (const axis of scene.axes) {
      const own = coordinate(scene, tip, axis, 'smooth');
      series.push(anchor === undefined ? own : difference(own, coordinate(scene, anchor, axis, 'smooth')));
    }
  }
  if (isEndOn(scene.view) || scene.view === '3d')
    series.push(
      difference(
        coordinate(scene, 'left-shoulder', 'up', 'smooth'),
        coordinate(scene, 'right-shoulder', 'up', 'smooth'),
      ),
    );
  return series.filter((values) => values.some(Number.isFinite));
}
