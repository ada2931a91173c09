/**
 * Where the standard deviations come from. Three sources add up as squares: the step of the clock, the eye that picks
 * the moment, and the swimmer, who never repeats a stroke exactly.
 */
import { mean, sum } from 'simple-statistics';
import type { EVENT_KINDS } from '../contract/raw-data.ts';
import { smallSampleFactor } from './landmarks/spread.ts';

/** Standard deviation of a value rounded to steps of `step`: uniform over one step. Same unit as `step`. */
export const quantisationSd = (step: number): number => step / Math.sqrt(12);

/** Standard deviation in seconds of one moment read from film at `frameRate` frames per second: 1 / (rate x sqrt 12). */
export const frameSd = (frameRate: number): number => quantisationSd(1 / frameRate);

/** Independent parts added as squares: all absolute in one unit, or all relative. @returns the same */
export const combined = (...parts: readonly number[]): number => Math.hypot(...parts);

/**
 * Standard deviation of the coordination index from frames alone, in % of the cycle: the mean of two lags, each between
 * two moments.
 *
 * @param frameRate frames per second
 * @param cycleSeconds length of the cycle in seconds
 * @returns % of the cycle
 */
export function coordinationFrameSd(frameRate: number, cycleSeconds: number): number {
  return (100 * frameSd(frameRate)) / cycleSeconds;
}

/**
 * How far the eye picks wrong, in frames. Literature gives one to two frames for the start of backward motion, the
 * hardest of the four; splash and exit are plain to see (judgement).
 */
const CHOICE_FRAMES: Readonly<Record<(typeof EVENT_KINDS)[number], number>> = {
  entry: 0.5,
  'pull-start': 1.5,
  'mid-pull': 1,
  exit: 0.5,
  'pause-start': 1.5,
  'pause-end': 1.5,
};
/** Times without a frame rate are taken to be read from film of this many frames a second, the usual of a telephone. */
const USUAL_FRAME_RATE = 30;

/** How finely the moments of one request are known. */
export interface Clock {
  /** Frames per second; undefined when only times were given. */
  readonly frameRate?: number | undefined;
  /** Smallest step between two moments, in seconds. */
  readonly step: number;
}

const STEPS = [0.1, 0.01, 0.001] as const;

/**
 * The clock of a list of moments: one frame, or the decimal place to which the times were written down.
 *
 * @param times seconds
 * @param frameRate frames per second; undefined when only times were given
 * @returns the step in seconds, 0.001 to 0.1 without a frame rate
 */
export function clockOf(times: readonly number[], frameRate: number | undefined): Clock {
  if (frameRate !== undefined) return { frameRate, step: 1 / frameRate };
  const fits = (step: number): boolean =>
    times.every((t) => Math.abs(t / step - Math.round(t / step)) < 1e-6);
  return { step: STEPS.find(fits) ?? 0.001 };
}

/** Standard deviation of one marked moment in seconds: the step of the clock and the choice of the moment (judgement). */
export function eventSd(kind: (typeof EVENT_KINDS)[number], clock: Clock): number {
  const choice = CHOICE_FRAMES[kind] / (clock.frameRate ?? USUAL_FRAME_RATE);
  return combined(quantisationSd(clock.step), choice);
}

/** The typical spread counts like this many cycles beyond the first. */
const TYPICAL_WEIGHT = 2;

export interface Mean {
  readonly value: number;
  readonly standardDeviation: number;
  /** From one value to the next, with the typical spread weighed in. */
  readonly spread: number;
}

/**
 * Mean of repeated values. The spread seen is mixed with a typical one, so that two values that agree by chance do not
 * promise too much, and one value alone still has an uncertainty.
 *
 * @param values at least one, any unit
 * @param typicalSd standard deviation from value to value that is usual, same unit
 * @param beside spreads seen elsewhere in the same quantity (the other arm), pooled in
 * @returns mean and its standard deviation, in the unit of the values; the weight of the typical spread is a judgement
 */
export function meanOf(
  values: readonly number[],
  typicalSd: number,
  beside: readonly (readonly number[])[] = [],
): Mean {
  const lists = [values, ...beside.filter((b) => b.length > 0)];
  const squares = lists.map((list) => {
    const middle = mean([...list]);
    return sum(list.map((v) => (v - middle) ** 2));
  });
  const freedom = TYPICAL_WEIGHT + sum(lists.map((list) => list.length - 1));
  const variance = (TYPICAL_WEIGHT * typicalSd ** 2 + sum(squares)) / freedom;
  return {
    value: mean([...values]),
    standardDeviation: smallSampleFactor(freedom) * Math.sqrt(variance / values.length),
    spread: Math.sqrt(variance),
  };
}
