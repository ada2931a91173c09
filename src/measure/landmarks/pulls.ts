/** The moments of one arm's stroke, found in its own track. All in frames, fractional. */
import { isEndOn } from './axes.ts';
import { tops } from './extremum.ts';
import { whiteNoiseShares } from './low-pass.ts';
import { crossings, subtract, valueAt } from './sample.ts';
import { coordinate, hasPoints, type Scene } from './scene.ts';
import type { Arm } from './types.ts';

/** One stroke of one arm. */
export interface Pull {
  /** The hand passes below the shoulder. */
  readonly mid: number;
  /** The fingertip goes under. */
  readonly entry?: number | undefined;
  /** The fingertip leaves the water. */
  readonly exit?: number | undefined;
  /** 15 percent of the way of the hand from entry to exit, against the hips. */
  readonly catch?: number | undefined;
  /** The frames a hundredth of the way before and after the catch. */
  readonly aroundCatch?: readonly [number, number] | undefined;
  /** True when entry and exit come from the waterline and not from the hand going out of sight. */
  readonly byWaterline: { readonly entry: boolean; readonly exit: boolean };
}

/** Share of the underwater path at the catch (definition of forearm-pitch-at-catch). */
const CATCH_SHARE = 0.15;
/** A hand that comes into sight or goes out of it this near the surface has passed it; deeper, bubbles hid it. Metres. */
const NEAR_SURFACE_M = 0.15;
/** Two passes of one arm are never closer than this share of a cycle (0.6 of the median period: common practice). */
export const CLOSEST = 0.6;
/** Without a known cycle, an underwater stroke is looked for within this time. */
const LONGEST_PULL_S = 3;

/** How far the moment seen from the front is from the hand passing below the shoulder, as a share of a cycle (judgement). */
export const MID_SHARE = 0.02;

/** The fingertip, or the wrist where no fingertip was tracked; the wrist is good enough for moments, not for places. */
export function tipOf(scene: Scene, side: Arm): string | undefined {
  return [`${side}-hand`, `${side}-wrist`].find((name) => hasPoints(scene, [name], scene.axes));
}

function spaced(moments: readonly number[], closest: number): number[] {
  const kept: number[] = [];
  for (const m of moments) if (kept.length === 0 || m - kept.at(-1)! >= closest) kept.push(m);
  return kept;
}

/** 40 cycles a minute, where no cycle was found (middle of the bands of stroke-rate). */
const USUAL_CYCLE_S = 1.5;
/** A hand in mid-pull is at least this far below its shoulder, in metres; one that enters or leaves is not
 * (judgement). */
const LEAST_DEPTH_M = 0.2;
/** The two lowest places of one pull are this close, as a share of a cycle (judgement). */
const NEAR_DEEPEST = 0.12;

/** Frame of the highest value within `reach` frames; undefined when one of them is missing. */
function highestNear(values: readonly number[], at: number, reach: number): number | undefined {
  let best = at;
  for (let i = Math.ceil(at - reach); i <= at + reach; i++) {
    if (!Number.isFinite(values[i])) return undefined;
    if (values[i]! > values[best]!) best = i;
  }
  return best;
}

/**
 * When the hand passes below the shoulder. From the front that is not seen: the shoulder rises as the body rolls, so the
 * hand is deepest in the water before it, and farthest below its shoulder after it; the middle of the two is taken.
 */

function mids(scene: Scene, side: Arm, tip: string, period: number | undefined): number[] {
  const closest = CLOSEST * (period ?? scene.frameRate);
  const height = subtract(
    coordinate(scene, tip, 'up', 'smooth'),
    coordinate(scene, `${side}-shoulder`, 'up', 'smooth'),
  );
  if (isEndOn(scene.view)) {
    const cycle = period ?? USUAL_CYCLE_S * scene.frameRate;
    const depth = coordinate(scene, tip, 'up', 'smooth').map((v) => -v);
    const below = height.map((v) => -v);
    return tops(depth, 0.3 * cycle)
      .filter((i) => !(height[i]! >= -LEAST_DEPTH_M))
      .map((deepest) => {
        const lowest = highestNear(below, deepest, NEAR_DEEPEST * cycle);
        return lowest === undefined ? deepest : (deepest + lowest) / 2;
      });
  }
  const ahead = subtract(
    coordinate(scene, tip, 'forward', 'smooth'),
    coordinate(scene, `${side}-shoulder`, 'forward', 'smooth'),
  );
  const below = crossings(ahead, 0, -1).filter((at) => !(valueAt(height, at) >= 0));
  return spaced(below, closest);
}

/**
 * Walks from the middle of the pull until the hand goes out of sight near the surface, or passes it in sight. Going out of
 * sight is the better sign: a camera below sees the near part of the surface higher than the drawn line.
 */
function surfacing(
  up: readonly number[],
  mid: number,
  step: 1 | -1,
  farthest: number,
  lineHolds: boolean,
): { at: number; byWaterline: boolean } | undefined {
  let i = step === 1 ? Math.ceil(mid) : Math.floor(mid);
  let passed: number | undefined;
  for (; Math.abs(i - mid) <= farthest; i += step) {
    const [here, next] = [up[i], up[i + step]];
    if (here === undefined || !Number.isFinite(here) || next === undefined) break;
    if (!Number.isFinite(next)) {
      if (Math.abs(here) < NEAR_SURFACE_M) return { at: i + step / 2, byWaterline: false };
      break;
    }
    if (here < 0 && next >= 0) passed ??= i + (step * here) / (here - next);
    if (here > NEAR_SURFACE_M) break;
  }
  return passed === undefined || !lineHolds ? undefined : { at: passed, byWaterline: true };
}

/**
 * Frames at which the hand has gone given shares of its way from one moment to another, against the hips. Noise makes a
 * way longer, most of all where the hand glides; its part is taken off each piece.
 */
function alongPath(
  scene: Scene,
  side: Arm,
  tip: string,
  from: number,
  to: number,
  shares: readonly number[],
): number[] | undefined {
  const hip = `${side}-hip`;
  if (!hasPoints(scene, [hip], ['forward', 'up'])) return undefined;
  const parts = (['forward', 'up'] as const).map((axis) => {
    const tracks = [scene.points.get(tip)![axis]!, scene.points.get(hip)![axis]!] as const;
    const noise = tracks.map((t) => t.noise ** 2 * whiteNoiseShares(t.cutOffHz, scene.frameRate).step);
    return { values: subtract(tracks[0].smooth, tracks[1].smooth), noise: noise[0]! + noise[1]! };
  });
  const way: number[] = [0];
  const moments: number[] = [from];
  while (moments.at(-1)! < to) {
    const before = moments.at(-1)!;
    const next = Math.min(before + 1, to);
    const squared = parts.reduce((sum, { values, noise }) => {
      const piece = valueAt(values, next) - valueAt(values, before);
      return sum + piece * piece - noise * (next - before) ** 2;
    }, 0);
    if (!Number.isFinite(squared)) return undefined;
    way.push(way.at(-1)! + Math.sqrt(Math.max(0, squared)));
    moments.push(next);
  }
  const found = shares.flatMap((share) =>
    crossings(way, share * way.at(-1)!, 1)
      .slice(0, 1)
      .map((at) => valueAt(moments, at)),
  );
  return found.length < shares.length ? undefined : found;
}

/**
 * @param period of the arm cycle in frames, where it is known
 * @returns the strokes of one arm in time order; an entry or exit that the recording does not show is left out
 */
export function pullsOf(scene: Scene, side: Arm, period: number | undefined): Pull[] {
  const tip = tipOf(scene, side);
  if (tip === undefined || !scene.axes.includes('up')) return [];
  const up = coordinate(scene, tip, 'up', 'smooth');
  const farthest = period ?? LONGEST_PULL_S * scene.frameRate;
  // along the swimming direction the surface at the hand is far from where it was drawn at the body
  const lineHolds = !isEndOn(scene.view);
  return mids(scene, side, tip, period).map((mid) => {
    const entry = scene.hasWaterline ? surfacing(up, mid, -1, farthest, lineHolds) : undefined;
    const exit = scene.hasWaterline ? surfacing(up, mid, 1, farthest, lineHolds) : undefined;
    const shares = [CATCH_SHARE - 0.01, CATCH_SHARE, CATCH_SHARE + 0.01];
    const way = entry && exit ? alongPath(scene, side, tip, entry.at, exit.at, shares) : undefined;
    return {
      mid,
      entry: entry?.at,
      exit: exit?.at,
      catch: way?.[1],
      aroundCatch: way && [way[0]!, way[2]!],
      byWaterline: { entry: entry?.byWaterline ?? false, exit: exit?.byWaterline ?? false },
    };
  });
}
