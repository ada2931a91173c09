/**
 * How much the forward speed of one body point swings within the cycle, from its place along the lane.
 *
 * Filtering first: the error of a place grows with the frame rate when it becomes a speed (see speedNoise).
 */
import { mean, median, standardDeviation as populationSd, sum } from 'simple-statistics';
import type { Positions } from '../contract/raw-data.ts';
import { ARMS, type Cycles, type Events } from './events.ts';
import { designCutOff } from './landmarks/low-pass.ts';
import { trackOf } from './landmarks/smooth.ts';
import { certaintyOf, figure, info, type Part, warning } from './reading.ts';
import type { Source } from './stroke.ts';
import { combined, meanOf } from './uncertainty.ts';

/** Fewer samples a second cannot show the swings of an arm stroke. */
const FEWEST_A_SECOND = 20;
/** A sample may stand this share of a step beside its place. */
const UNEVEN = 0.25;
/** How well the noise that is taken out is known, as a share of its variance (judgement). */
const NOISE_DOUBT = 0.3;
/** Speed variation changes by about so many points from cycle to cycle (judgement). */
const OWN_SD = 2;

/**
 * Speeds by central difference: (x[i+1] - x[i-1]) / (2 dt).
 *
 * @param places metres, evenly spaced; NaN where missing
 * @returns m/s; NaN at the ends and beside gaps
 */
export function speedsOf(places: readonly number[], samplesPerSecond: number): number[] {
  return places.map((_, i) => {
    const [before, after] = [places[i - 1] ?? Number.NaN, places[i + 1] ?? Number.NaN];
    return ((after - before) * samplesPerSecond) / 2;
  });
}

/**
 * Share of a swing of this frequency that a central difference keeps: sin(w dt) / (w dt).
 *
 * @param hertz above zero
 * @returns 0 to 1 up to half the sampling rate
 */
export function differenceGain(hertz: number, samplesPerSecond: number): number {
  const turn = (2 * Math.PI * hertz) / samplesPerSecond;
  return Math.sin(turn) / turn;
}

/**
 * Standard deviation that digitising noise leaves in speeds by central difference: s / (sqrt 2 dt) for white noise; after a
 * low-pass, the part of the spectrum that both let through.
 *
 * @param placeSd standard deviation of one place in metres
 * @param cutOffHz of the zero-phase low-pass before it; undefined: none
 * @returns m/s
 */
export function speedNoise(placeSd: number, samplesPerSecond: number, cutOffHz?: number): number {
  if (cutOffHz === undefined) return (placeSd * samplesPerSecond) / Math.SQRT2;
  const edge = Math.tan((Math.PI * designCutOff(cutOffHz, samplesPerSecond)) / samplesPerSecond);
  const STEPS = 256;
  const power = Array.from({ length: STEPS }, (_, i) => {
    const half = (Math.PI * (i + 0.5)) / (2 * STEPS);
    const gain = 1 / (1 + (Math.tan(half) / edge) ** 4);
    return (gain * Math.sin(2 * half)) ** 2;
  });
  return placeSd * samplesPerSecond * Math.sqrt(sum(power) / STEPS);
}

interface Trace {
  /** Metres, evenly spaced; NaN where missing. */
  readonly places: number[];
  readonly start: number;
  readonly perSecond: number;
}

/** Puts the samples on an even grid; undefined when they do not fit on one. */
function traceOf(samples: Positions['samples'], frameRate: number | undefined): Trace | undefined {
  const timed = samples
    .map((s) => ({ time: s.time ?? (s.frame as number) / (frameRate as number), metres: s.metres }))
    .sort((a, b) => a.time - b.time);
  const start = (timed[0] as { time: number }).time;
  const byFrame = samples.every((s) => s.frame !== undefined) && frameRate !== undefined;
  const steps = timed.slice(1).map((s, i) => s.time - (timed[i] as { time: number }).time);
  const step = byFrame ? 1 / frameRate : median(steps);
  if (!(step > 0)) return undefined;
  const places: number[] = [];
  for (const { time, metres } of timed) {
    const at = Math.round((time - start) / step);
    if (Math.abs(time - start - at * step) > UNEVEN * step || places[at] !== undefined || at > 100_000)
      return undefined;
    places[at] = metres;
  }
  return { places: Array.from(places, (p) => p ?? Number.NaN), start, perSecond: 1 / step };
}

interface Cycle {
  readonly from: number;
  readonly to: number;
}

function wholeCycles({ moments }: Events, fits: Cycles['fits'], from: number, to: number): Cycle[][] {
  return ARMS.map((arm) => {
    const entries = moments[arm].filter((m) => m.kind === 'entry').map((m) => m.time);
    return entries
      .slice(1)
      .map((end, i) => ({ from: entries[i] as number, to: end }))
      .filter((c) => c.from >= from && c.to <= to && fits(c.to - c.from));
  });
}

const SLACK = 1e-9;

/**
 * Speed variation within whole cycles: 100 x standard deviation / mean of the speed, less what noise adds.
 *
 * @param positions metres along the lane, evenly spaced
 * @param frameRate frames per second; needed for frames only
 * @returns the variation in percent, and the mean speed over whole cycles (m/s) as a source
 */
export function measureSpeedVariation(
  positions: Positions,
  frameRate: number | undefined,
  events: Events,
  cycles: Cycles,
): Part & { sources: Source[] } {
  const about = { code: 'speed-variation' };
  const only = (note: ReturnType<typeof info>) => ({ readings: [], notes: [note], sources: [] });
  const trace = traceOf(positions.samples, frameRate);
  if (trace === undefined) return only(warning('positions-uneven', about));
  const { places, start, perSecond } = trace;
  if (perSecond < FEWEST_A_SECOND)
    return only(
      info('positions-too-few', about, { rate: figure(perSecond, 0), least: String(FEWEST_A_SECOND) }),
    );
  const forward = (places.at(-1) as number) < (places[0] as number) ? -1 : 1;
  const track = trackOf(
    places.map((p) => p * forward),
    perSecond,
  );
  const speeds = speedsOf(track.smooth, perSecond);
  const noise = speedNoise(track.noise, perSecond, track.cutOffHz);
  const end = start + (places.length - 1) / perSecond;
  const rows = wholeCycles(events, cycles.fits, start - SLACK, end + SLACK);
  const inside = (c: Cycle): number[] =>
    speeds.filter((v, i) => {
      const time = start + i / perSecond;
      return Number.isFinite(v) && time >= c.from - SLACK && time < c.to - SLACK;
    });
  const enough = (list: readonly number[], c: Cycle): boolean =>
    list.length >= 0.9 * (c.to - c.from) * perSecond - 2;
  const values = rows.map((row) =>
    row.flatMap((c) => {
      const list = inside(c);
      if (!enough(list, c) || list.length < 5 || !(mean(list) > 0)) return [];
      const spread = Math.sqrt(Math.max(0, populationSd(list) ** 2 - noise ** 2));
      return [{ variation: (100 * spread) / mean(list), speed: mean(list) }];
    }),
  );
  const all = values.flat();
  if (all.length === 0) return only(info('positions-need-entries', about));
  // both arms cut the same swim into cycles
  const inTime = Math.max(...values.map((row) => row.length));
  const variations = all.map((v) => v.variation);
  const speed = mean(all.map((v) => v.speed));
  const { value, standardDeviation, spread } = meanOf(variations, OWN_SD);
  const noiseShare = (100 * noise) / speed;
  const derivation = {
    inputs: `place of the ${positions.point} along the lane, entries of one hand`,
    source:
      'speed variation as in Schnitzler 2010, Int J Sports Med; one method must not be compared with another',
    point: positions.point,
    samplesPerSecond: perSecond,
    cutOffHz: track.cutOffHz,
    placeNoiseM: track.noise,
    speedNoise: noise,
    cycles: inTime,
  };
  return {
    readings: [
      {
        code: 'speed-variation',
        side: 'body',
        value,
        standardDeviation: combined(
          standardDeviation * Math.sqrt(all.length / inTime),
          (NOISE_DOUBT * noiseShare ** 2) / (2 * Math.max(value, noiseShare, 1)),
        ),
        certainty: certaintyOf(inTime),
        derivation: {
          ...derivation,
          formula:
            '100 x standard deviation / mean of the speed over each whole cycle, noise taken out, mean of the cycles',
          each: variations,
          spread,
        },
      },
    ],
    notes:
      positions.point === 'hip' ? [] : [info('speed-variation-point', about, { point: positions.point })],
    sources: [
      {
        quantity: 'speed',
        from: 'positions',
        value: speed,
        standardDeviation: speed * combined(0.02 / Math.sqrt(inTime), 0.01),
        certainty: certaintyOf(inTime),
        derivation: { ...derivation, formula: 'mean speed over whole cycles' },
      },
    ],
  };
}
