/**
 * Timed lengths with stroke counts. A push-off is faster than swimming and has no strokes, so speed and stroke length are
 * taken from what is left after it.
 */
import { mean, sum } from 'simple-statistics';
import type { PoolLength } from '../contract/raw-data.ts';
import { METRES_PER_YARD } from '../contract/raw-data.ts';
import { metresOf } from './distance.ts';
import { figure, info, type Note, warning } from './reading.ts';
import type { Source } from './stroke.ts';
import { combined, meanOf } from './uncertainty.ts';

/** Standard deviation of a time taken by hand, in seconds (judgement). */
export const STOPWATCH_SD_S = 0.1;
/** Of the two marks in mid-pool together, judged by eye, in metres (judgement). */
const MARKS_SD_M = 0.1;
/** Of the place and the time of the first arm stroke (judgement). */
const PUSH_OFF_SD_M = 0.3;
const PUSH_OFF_SD_S = 0.2;
/** A count leaves out parts of strokes at both ends: each part uniform over one stroke. */
export const COUNT_SD = Math.sqrt(2 / 12);
/** Speed and stroke length of one swimmer from length to length, relative (judgement). */
export const OWN_VARIATION = 0.01;
/** From this distance on a stretch is taken to begin at a wall. */
export const FROM_A_WALL_M = 20;
/** A usual push-off, for how far a value without it may be off: 5 m in 2.6 s. */
const USUAL_PUSH_OFF = { metres: 5, seconds: 2.6 };
/** Lengths that differ more than this in speed are not of one pace (relative). */
const ONE_PACE = 0.1;

export interface Swum {
  readonly metres: number;
  readonly seconds: number;
  readonly strokes: number | undefined;
  readonly watchRate: number | undefined;
  readonly pushMetres: number;
  readonly pushSeconds: number;
  readonly pushKnown: boolean;
}

export interface CleanLength {
  /** m/s after the push-off. */
  readonly speed: number;
  /** m per cycle; undefined without a count. */
  readonly strokeLength: number | undefined;
  /** cycles/min; undefined without a count. */
  readonly strokeRate: number | undefined;
}

/**
 * Speed, stroke length and stroke rate of one length after its push-off. Arm strokes are counted, cycles are meant: two
 * arm strokes are one cycle (identity of speed, rate and length: Craig & Pendergast 1979).
 *
 * @param metres and `seconds` of the whole length, `pushMetres` and `pushSeconds` of the push-off (zeros: none); the push-off
 *   must be shorter than the length
 * @returns m/s, m/cycle and cycles/min
 */
export function cleanLength(
  metres: number,
  seconds: number,
  armStrokes: number | undefined,
  pushMetres: number,
  pushSeconds: number,
): CleanLength {
  const [distance, time] = [metres - pushMetres, seconds - pushSeconds];
  return {
    speed: distance / time,
    strokeLength: armStrokes === undefined ? undefined : distance / (armStrokes / 2),
    strokeRate: armStrokes === undefined ? undefined : (60 * (armStrokes / 2)) / time,
  };
}

function read(length: PoolLength): Swum {
  const pushOff =
    length.pushOffMetres ??
    (length.pushOffYards === undefined ? undefined : length.pushOffYards * METRES_PER_YARD);
  const metres = metresOf(length);
  return {
    metres,
    seconds: length.seconds,
    strokes: length.armStrokes,
    watchRate: length.strokeRate,
    pushMetres: pushOff ?? 0,
    pushSeconds: length.pushOffSeconds ?? 0,
    // two marks in mid-pool have no push-off between them
    pushKnown: pushOff !== undefined || metres < FROM_A_WALL_M,
  };
}

const clean = (s: Swum): CleanLength =>
  cleanLength(s.metres, s.seconds, s.strokes, s.pushMetres, s.pushSeconds);

/** Relative standard deviations of one length, and how far a push-off that was not told may put it off. */
function relativeSds(s: Swum): {
  distance: number;
  time: number;
  count: number;
  speedBias: number;
  lengthBias: number;
} {
  const pushed = s.pushMetres > 0;
  const distance = combined(s.metres < FROM_A_WALL_M ? MARKS_SD_M : 0, pushed ? PUSH_OFF_SD_M : 0);
  const time = combined(STOPWATCH_SD_S, pushed ? PUSH_OFF_SD_S : 0);
  const usual = {
    distance: s.metres - USUAL_PUSH_OFF.metres,
    time: Math.max(1, s.seconds - USUAL_PUSH_OFF.seconds),
  };
  // anything from no push-off to a usual one: the root mean square of a uniform error
  const bias = (ratio: number): number => (s.pushKnown ? 0 : Math.abs(ratio - 1) / Math.sqrt(3));
  return {
    distance: distance / (s.metres - s.pushMetres),
    time: time / (s.seconds - s.pushSeconds),
    count: s.strokes === undefined ? 0 : COUNT_SD / s.strokes,
    speedBias: bias(s.metres / s.seconds / (usual.distance / usual.time)),
    lengthBias: bias(s.metres / usual.distance),
  };
}

/** Lengths whose push-off is known, or all when none is: values with and without it are not mixed. */
function comparable(lengths: readonly Swum[]): Swum[] {
  const known = lengths.filter((s) => s.pushKnown);
  return known.length > 0 ? known : [...lengths];
}

function source(
  quantity: Source['quantity'],
  value: number,
  each: readonly number[],
  relative: number,
  bias: number,
  used: readonly Swum[],
  derivation: { inputs: string; formula: string },
): Source {
  const usual = value * combined(relative, OWN_VARIATION);
  return {
    quantity,
    from: 'lengths',
    value,
    standardDeviation: combined(meanOf(each, usual).standardDeviation, value * bias),
    certainty: bias > 0 ? 'likely' : 'sure',
    derivation: {
      ...derivation,
      source: 'identity for swimming in mid-pool (Craig & Pendergast 1979); push-off taken out',
      lengths: used.length,
      each: [...each],
      pushOffKnown: bias === 0,
    },
  };
}

/** Root mean square over lengths of what one length gives, in its unit. */
export const worst = (used: readonly Swum[], of: (s: Swum) => number): number =>
  Math.sqrt(mean(used.map((s) => of(s) ** 2)));

function sourcesOf(lengths: readonly Swum[]): Source[] {
  const used = comparable(lengths);
  const metres = sum(used.map((s) => s.metres - s.pushMetres));
  const seconds = sum(used.map((s) => s.seconds - s.pushSeconds));
  const sds = (of: (r: ReturnType<typeof relativeSds>) => number, among: readonly Swum[]): number =>
    worst(among, (s) => of(relativeSds(s)));
  const speed = source(
    'speed',
    metres / seconds,
    used.map((s) => clean(s).speed),
    sds((r) => combined(r.distance, r.time), used),
    sds((r) => r.speedBias, used),
    used,
    {
      inputs: 'metres, seconds, push-off metres and seconds',
      formula: '(metres - push-off metres) / (seconds - push-off seconds), lengths added up',
    },
  );
  const counted = used.filter((s) => s.strokes !== undefined);
  if (counted.length === 0) return [speed];
  const strokes = sum(counted.map((s) => s.strokes as number));
  const clearMetres = sum(counted.map((s) => s.metres - s.pushMetres));
  const clearSeconds = sum(counted.map((s) => s.seconds - s.pushSeconds));
  return [
    speed,
    source(
      'length',
      clearMetres / (strokes / 2),
      counted.map((s) => clean(s).strokeLength as number),
      sds((r) => combined(r.distance, r.count), counted),
      sds((r) => r.lengthBias, counted),
      counted,
      {
        inputs: 'metres, arm strokes, push-off metres',
        formula: '(metres - push-off metres) / (arm strokes / 2), lengths added up',
      },
    ),
    source(
      'rate',
      (60 * (strokes / 2)) / clearSeconds,
      counted.map((s) => clean(s).strokeRate as number),
      sds((r) => combined(r.time, r.count), counted),
      sds((r) => combined(r.speedBias, r.lengthBias), counted),
      counted,
      {
        inputs: 'arm strokes, seconds, push-off seconds',
        formula: '60 x (arm strokes / 2) / (seconds - push-off seconds), lengths added up',
      },
    ),
  ];
}

function watchSource(lengths: readonly Swum[]): Source[] {
  const rates = lengths.flatMap((s) => (s.watchRate === undefined ? [] : [s.watchRate]));
  if (rates.length === 0) return [];
  const value = mean(rates);
  // three cycles against a hand-held watch
  const usual = value * combined((STOPWATCH_SD_S * value) / 180, OWN_VARIATION);
  return [
    {
      quantity: 'rate',
      from: 'watch',
      value,
      standardDeviation: meanOf(rates, usual).standardDeviation,
      certainty: 'likely',
      derivation: {
        inputs: 'strokeRate of the lengths',
        formula: 'mean of the watch readings',
        source: 'stroke-rate watch over three cycles',
        each: [...rates],
      },
    },
  ];
}

function notesOf(lengths: readonly Swum[]): Note[] {
  const unknown = lengths.filter((s) => !s.pushKnown);
  const known = lengths.length - unknown.length;
  const speeds = comparable(lengths).map((s) => clean(s).speed);
  const [slowest, fastest] = [Math.min(...speeds), Math.max(...speeds)];
  const first = unknown[0];
  return [
    ...(first === undefined
      ? []
      : known > 0
        ? [info('push-off-missing-in-some', { code: 'swim-speed' })]
        : [
            warning(
              'push-off-unknown',
              { code: 'swim-speed' },
              {
                speed: figure(100 * Math.sqrt(3) * relativeSds(first).speedBias, 0),
                length: figure(100 * Math.sqrt(3) * relativeSds(first).lengthBias, 0),
              },
            ),
          ]),
    ...(fastest > slowest * (1 + ONE_PACE)
      ? [
          info(
            'lengths-of-different-pace',
            { code: 'swim-speed' },
            {
              slowest: figure(slowest),
              fastest: figure(fastest),
            },
          ),
        ]
      : []),
  ];
}

/**
 * Reads the lengths of one set; values with and without a known push-off are not mixed.
 *
 * @param lengths of one set, first to last; metres or yards, seconds
 * @returns the lengths in metres, what they tell of speed (m/s), rate (cycles/min) and stroke length (m/cycle), and notes
 */
export function readLengths(lengths: readonly PoolLength[]): {
  swum: Swum[];
  sources: Source[];
  notes: Note[];
} {
  if (lengths.length === 0) return { swum: [], sources: [], notes: [] };
  const swum = lengths.map(read);
  return { swum, sources: [...sourcesOf(swum), ...watchSource(swum)], notes: notesOf(swum) };
}
