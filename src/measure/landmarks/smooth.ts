/** One coordinate of one point over time: as digitised, smoothed, and how noisy it is. */
import { fillShortGaps, runsOf } from './gaps.ts';
import { lowPass, SHORTEST_RUN, whiteNoiseShares } from './low-pass.ts';

/** One coordinate over time, one item per frame. */
export interface Track {
  /** Gaps of at most a tenth of a second filled; NaN in longer ones. */
  readonly raw: readonly number[];
  /** Low-passed; NaN in gaps and in stretches too short to filter. */
  readonly smooth: readonly number[];
  /** Standard deviation of the digitising noise of one sample, in the unit of the track. */
  readonly noise: number;
  readonly cutOffHz: number;
}

/** 6 Hz is what front-crawl arm studies use (Gourgoulis 2006); raised in steps when the residual holds movement. */
const CUT_OFFS_HZ = [6, 8, 10, 12] as const;
/** Highest usable share of the frame rate: half of it is the limit of any sampling (Nyquist); the rest is room (judgement). */
const HIGHEST_SHARE = 0.4;
/** A residual this many times the noise holds more than noise (judgement). */
const RESIDUAL_LIMIT = 1.15;
/** Variance of the third difference of white noise: 1 + 9 + 9 + 1. */
const THIRD_DIFFERENCE = 20;

/**
 * Noise from third differences, which remove smooth movement (Rice 1984, difference-based variance estimators).
 * @returns standard deviation of one sample, in the unit of the values
 */
export function differenceNoise(values: readonly number[]): number {
  let sum = 0;
  let count = 0;
  for (let i = 3; i < values.length; i++) {
    const third = values[i]! - 3 * values[i - 1]! + 3 * values[i - 2]! - values[i - 3]!;
    if (!Number.isFinite(third)) continue;
    sum += third * third;
    count++;
  }
  return count === 0 ? Number.NaN : Math.sqrt(sum / count / THIRD_DIFFERENCE);
}

function filtered(raw: readonly number[], cutOffHz: number, frameRate: number): number[] {
  const smooth = raw.map(() => Number.NaN);
  for (const { from, to } of runsOf(raw)) {
    if (to - from < SHORTEST_RUN) continue;
    lowPass(raw.slice(from, to), cutOffHz, frameRate).forEach((value, i) => {
      smooth[from + i] = value;
    });
  }
  return smooth;
}

/** RMS of what the filter took away, scaled up by what it takes of white noise. */
function residualNoise(raw: readonly number[], smooth: readonly number[], taken: number): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < raw.length; i++) {
    const rest = raw[i]! - smooth[i]!;
    if (!Number.isFinite(rest)) continue;
    sum += rest * rest;
    count++;
  }
  return count === 0 ? Number.NaN : Math.sqrt(sum / count / taken);
}

/**
 * @param values samples of one coordinate, NaN where missing
 * @param frameRate samples per second
 * @returns the track; a lower frame rate lowers the cut-off to 0.4 of it
 */
export function trackOf(values: readonly number[], frameRate: number): Track {
  const raw = fillShortGaps(values, frameRate);
  const floor = differenceNoise(raw);
  let track: Track | undefined;
  for (const wanted of CUT_OFFS_HZ) {
    const cutOffHz = Math.min(wanted, HIGHEST_SHARE * frameRate);
    const smooth = filtered(raw, cutOffHz, frameRate);
    const noise = residualNoise(raw, smooth, whiteNoiseShares(cutOffHz, frameRate).taken);
    track = { raw, smooth, noise: Number.isFinite(noise) ? noise : 0, cutOffHz };
    if (!(noise > RESIDUAL_LIMIT * floor) || cutOffHz < wanted) break;
  }
  return track!;
}
