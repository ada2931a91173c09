/** Speed, stroke rate and stroke length belong together: v = rate x length / 60. Any two give the third. */
import type { Certainty } from '../contract/common.ts';
import type { Events } from './events.ts';
import {
  certaintyOf,
  type Derivation,
  figure,
  type Note,
  type Part,
  type Reading,
  warning,
} from './reading.ts';
import { combined, eventSd } from './uncertainty.ts';

/** One way to know one of the three. */
export interface Source {
  readonly quantity: 'speed' | 'rate' | 'length';
  readonly from: 'lengths' | 'watch' | 'events' | 'positions';
  /** m/s, cycles/min or m/cycle. */
  readonly value: number;
  readonly standardDeviation: number;
  readonly certainty: Certainty;
  readonly derivation: Derivation;
}

/** Above this gap two ways to know one thing disagree (heuristic). */
const DISAGREEMENT = 0.03;
/** A gap near the factor of two is arm strokes taken for cycles, or the other way. */
const NEAR_TWO = [1.8, 2.2] as const;
/** Standard deviation of the place of the swimmer at a marked moment, in metres (judgement). */
const PLACE_SD_M = 0.05;

/** v = rate x length / 60 (Craig & Pendergast 1979). @param rate cycles/min @param length m/cycle @returns m/s */
export const speedFrom = (rate: number, length: number): number => (rate * length) / 60;
/** The same identity. @param speed m/s @param rate cycles/min, above zero @returns m/cycle */
export const lengthFrom = (speed: number, rate: number): number => (60 * speed) / rate;
/** Higher is more economical at one speed; a skill index, not an efficiency (Costill et al. 1985). @returns m2/s */
export const strokeIndex = (speed: number, length: number): number => speed * length;
/** By definition. @param speed m/s, above zero @returns s/100 m */
export const paceFrom = (speed: number): number => 100 / speed;

/**
 * Speed and stroke length from the places of the swimmer at the entries of the same hand (identity: Craig & Pendergast 1979).
 *
 * @returns speed in m/s and length in m/cycle; none when no hand has two entries with a place
 */
export function placeSources({ moments, clock }: Events): Source[] {
  const rows = [moments.left, moments.right].map((list) =>
    list.filter((m) => m.kind === 'entry' && m.metres !== undefined),
  );
  const used = rows.filter((row) => row.length > 1);
  if (used.length === 0) return [];
  let [metres, seconds, cycles] = [0, 0, 0];
  for (const row of used) {
    const [first, last] = [row[0], row.at(-1)] as [(typeof row)[number], (typeof row)[number]];
    metres += Math.abs((last.metres as number) - (first.metres as number));
    seconds += last.time - first.time;
    cycles += row.length - 1;
  }
  if (metres === 0) return [];
  const inTime = Math.max(...used.map((row) => row.length - 1));
  // the two ends of each row
  const placeSd = Math.sqrt(2 * used.length) * PLACE_SD_M;
  const timeSd = Math.sqrt(2 * used.length) * eventSd('entry', clock);
  const common = {
    from: 'events' as const,
    certainty: certaintyOf(inTime),
  };
  const derivation = {
    inputs: 'place of the swimmer at entries of the same hand',
    source: 'identity for swimming in mid-pool (Craig & Pendergast 1979)',
    metres,
    seconds,
    cycles,
  };
  return [
    {
      ...common,
      quantity: 'speed',
      value: metres / seconds,
      standardDeviation: (metres / seconds) * combined(placeSd / metres, timeSd / seconds),
      derivation: { ...derivation, formula: 'metres / seconds between entries of the same hand' },
    },
    {
      ...common,
      quantity: 'length',
      value: metres / cycles,
      standardDeviation: combined(placeSd / cycles, (0.02 * metres) / cycles / Math.sqrt(inTime)),
      derivation: { ...derivation, formula: 'metres / whole cycles between entries of the same hand' },
    },
  ];
}

const CODES = { speed: 'swim-speed', rate: 'stroke-rate', length: 'stroke-length' } as const;
const UNITS = { speed: 'm/s', rate: 'cycles/min', length: 'm/cycle' } as const;

function ratioOf(a: number, b: number): number {
  return Math.max(a, b) / Math.min(a, b);
}

/** The best-known value of one of the three, and a warning when its sources disagree. */
function settle(sources: readonly Source[], quantity: Source['quantity']): { best?: Source; notes: Note[] } {
  const own = sources
    .filter((s) => s.quantity === quantity)
    .sort((a, b) => a.standardDeviation / a.value - b.standardDeviation / b.value);
  const best = own[0];
  if (best === undefined) return { notes: [] };
  const rivals = own.slice(1).filter((s) => ratioOf(s.value, best.value) > 1 + DISAGREEMENT);
  const rival = rivals[0];
  const others = Object.fromEntries(
    own.slice(1).map((s) => [`from${s.from[0]?.toUpperCase()}${s.from.slice(1)}`, s.value]),
  );
  if (rival === undefined)
    return { best: { ...best, derivation: { ...best.derivation, ...others } }, notes: [] };
  const ratio = ratioOf(rival.value, best.value);
  const twice = ratio > NEAR_TWO[0] && ratio < NEAR_TWO[1];
  return {
    best: { ...best, certainty: 'unsure', derivation: { ...best.derivation, ...others } },
    notes: [
      warning(
        twice ? 'strokes-or-cycles' : 'sources-disagree',
        { code: CODES[quantity] },
        {
          first: figure(best.value),
          second: figure(rival.value),
          unit: UNITS[quantity],
          percent: figure(100 * (ratio - 1), 0),
          firstFrom: best.from,
          secondFrom: rival.from,
        },
      ),
    ],
  };
}

export interface Stroke3 extends Part {
  readonly speed?: Source | undefined;
  readonly rate?: Source | undefined;
  readonly length?: Source | undefined;
}

function asReading(source: Source): Reading {
  const { quantity, value, standardDeviation, certainty, derivation } = source;
  return {
    code: CODES[quantity],
    side: 'body',
    value,
    standardDeviation,
    certainty,
    derivation: { ...derivation, from: source.from },
  };
}

const WORST: readonly Certainty[] = ['unsure', 'likely', 'sure'];
const worseOf = (...all: readonly Certainty[]): Certainty => WORST.find((c) => all.includes(c)) ?? 'unsure';

function derivedLength(speed: Source, rate: Source): Source {
  const value = lengthFrom(speed.value, rate.value);
  return {
    quantity: 'length',
    from: speed.from,
    value,
    standardDeviation:
      value * combined(speed.standardDeviation / speed.value, rate.standardDeviation / rate.value),
    certainty: worseOf(speed.certainty, rate.certainty),
    derivation: {
      inputs: 'swim speed, stroke rate',
      formula: '60 x speed / rate',
      source: 'identity for swimming in mid-pool (Craig & Pendergast 1979)',
      speed: speed.value,
      rate: rate.value,
    },
  };
}

/**
 * Settles the three from all that is known, and warns where they do not fit together (limit of 3 %: judgement).
 *
 * @param sources each in the unit of its quantity
 * @returns speed (m/s), rate (cycles/min), length (m/cycle) and the stroke index (m2/s), as far as they are known
 */
export function measureStroke(sources: readonly Source[]): Stroke3 {
  const [v, r, l] = (['speed', 'rate', 'length'] as const).map((q) => settle(sources, q)) as [
    ReturnType<typeof settle>,
    ReturnType<typeof settle>,
    ReturnType<typeof settle>,
  ];
  const notes = [...v.notes, ...r.notes, ...l.notes];
  let [speed, rate, length] = [v.best, r.best, l.best];
  if (length === undefined && speed !== undefined && rate !== undefined) length = derivedLength(speed, rate);
  else if (speed !== undefined && rate !== undefined && length !== undefined) {
    const fitting = speedFrom(rate.value, length.value);
    if (ratioOf(fitting, speed.value) > 1 + DISAGREEMENT) {
      // where sources of one of the three disagree that was said already, and it makes the others no surer
      if (notes.length === 0)
        notes.push(
          warning(
            'speed-rate-length-disagree',
            { code: 'stroke-length' },
            {
              rate: figure(rate.value, 1),
              length: figure(length.value),
              product: figure(fitting),
              speed: figure(speed.value),
            },
          ),
        );
      [speed, rate, length] = [speed, rate, length].map((s) => ({ ...s, certainty: 'unsure' as const })) as [
        Source,
        Source,
        Source,
      ];
    }
  }
  const index: Reading[] =
    speed === undefined || length === undefined
      ? []
      : [
          {
            code: 'stroke-index',
            side: 'body',
            value: strokeIndex(speed.value, length.value),
            standardDeviation:
              strokeIndex(speed.value, length.value) *
              combined(speed.standardDeviation / speed.value, length.standardDeviation / length.value),
            certainty: worseOf(speed.certainty, length.certainty),
            derivation: {
              inputs: 'swim speed, stroke length',
              formula: 'speed x length',
              source: 'Costill et al. 1985, Int J Sports Med 6:266-270; compares like with like only',
              speed: speed.value,
              length: length.value,
            },
          },
        ];
  const settled = [speed, rate, length].filter((s) => s !== undefined);
  return { readings: [...settled.map(asReading), ...index], notes, speed, rate, length };
}
