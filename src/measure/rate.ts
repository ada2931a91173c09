/** Stroke rate, cycle time and their variation from repeated marks of the same hand. A cycle is two arm strokes. */
import { mean, sampleVariance, sum, variance } from 'simple-statistics';
import type { Cycles, Events } from './events.ts';
import { smallSampleFactor } from './landmarks/spread.ts';
import { certaintyOf, info, type Note, type Part, type Reading } from './reading.ts';
import type { Source } from './stroke.ts';
import { combined, eventSd, quantisationSd } from './uncertainty.ts';

/** A swimmer's own cycle time changes by about so much of itself from cycle to cycle (judgement). */
const OWN_VARIATION = 0.02;
/** The usual variation counts like so many cycles. */
const USUAL_WEIGHT = 2;

export interface Timing {
  /** Mean length of the cycle in seconds. */
  readonly cycleSeconds: number;
  readonly standardDeviation: number;
  /** Whole cycles one after the other in time; both arms mark the same ones. */
  readonly cycles: number;
}

/**
 * Mean cycle, timed end to end: the error of a mark enters twice for a whole row of cycles, not twice for each
 * (so it shrinks with the number of cycles, and the swimmer's own variation with its root).
 *
 * @returns seconds (judgement: a swimmer's own cycles vary by 2 %); undefined when no hand was marked twice
 */
export function timingOf({ seconds, rows, kind }: Cycles, { clock }: Events): Timing | undefined {
  const all = [...seconds.left, ...seconds.right];
  if (all.length === 0) return undefined;
  const cycleSeconds = mean(all);
  const cycles = Math.max(seconds.left.length, seconds.right.length);
  const mark = eventSd(kind, clock) ** 2;
  const spreads = [seconds.left, seconds.right].filter((list) => list.length > 1);
  const freedom = sum(spreads.map((list) => list.length - 1));
  const squares = sum(spreads.map((list) => variance(list) * list.length));
  const seen = Math.max(0, squares - 2 * mark * freedom);
  const own = ((OWN_VARIATION * cycleSeconds) ** 2 * USUAL_WEIGHT + seen) / (USUAL_WEIGHT + freedom);
  const swimmer = smallSampleFactor(USUAL_WEIGHT + freedom) * Math.sqrt(own / cycles);
  return {
    cycleSeconds,
    standardDeviation: combined(swimmer, Math.sqrt(2 * mark * rows) / all.length),
    cycles,
  };
}

/**
 * Variation of the cycle time in percent, without what the clock adds.
 *
 * @param seconds at least three cycles of one arm
 * @param step step of the clock in seconds; its uniform error enters at both ends of a cycle
 * @returns coefficient of variation in percent, sample standard deviation; 0 where the clock explains all of it
 */
export function cycleVariation(seconds: readonly number[], step: number): number {
  const spread = sampleVariance([...seconds]);
  return (100 * Math.sqrt(Math.max(0, spread - 2 * quantisationSd(step) ** 2))) / mean([...seconds]);
}

function variationOf({ seconds }: Cycles, { clock }: Events): Reading[] {
  const rows = [seconds.left, seconds.right].filter((list) => list.length >= 3);
  if (rows.length === 0) return [];
  const values = rows.map((list) => cycleVariation(list, clock.step));
  const value = Math.sqrt(mean(values.map((v) => v * v)));
  const freedom = Math.max(...rows.map((list) => list.length)) - 1;
  return [
    {
      code: 'cycle-variation',
      side: 'body',
      value,
      // of a standard deviation from so many values, and not below what the clock lets through
      standardDeviation: combined(
        value / Math.sqrt(2 * freedom),
        (100 * quantisationSd(clock.step)) / mean(rows.flat()) / Math.sqrt(freedom),
      ),
      certainty: certaintyOf(freedom + 1),
      derivation: {
        inputs: 'cycle times of one hand',
        formula: '100 x standard deviation / mean, less the variance that the clock adds',
        source: 'definition; uniform error of one step',
        cycleSeconds: rows.flat(),
        clockStepSeconds: clock.step,
      },
    },
  ];
}

/**
 * @returns cycle time in seconds and its variation in percent; the rate in cycles per minute as one source among others;
 *   a note when hands were marked but none of them twice
 */
export function measureRate(
  events: Events,
  cycles: Cycles,
): Part & { timing?: Timing | undefined; sources: Source[] } {
  const timing = timingOf(cycles, events);
  const marks = events.moments.left.length + events.moments.right.length;
  const notes: Note[] = [...cycles.notes];
  if (timing === undefined) {
    if (marks > 0) notes.push(info('no-whole-cycle', { code: 'stroke-rate' }));
    return { readings: [], notes, sources: [] };
  }
  const { cycleSeconds, standardDeviation } = timing;
  const certainty = certaintyOf(timing.cycles);
  const { seconds, kind } = cycles;
  const derivation = {
    inputs: `times of ${kind} of the same hand`,
    source: 'N marks are N-1 cycles; one cycle is one stroke of each arm (Craig & Pendergast 1979)',
    cycles: timing.cycles,
    cycleSecondsLeft: [...seconds.left],
    cycleSecondsRight: [...seconds.right],
    clockStepSeconds: events.clock.step,
    frameRate: events.clock.frameRate ?? null,
    markSd: eventSd(kind, events.clock),
  };
  return {
    timing,
    sources: [
      {
        quantity: 'rate',
        from: 'events',
        value: 60 / cycleSeconds,
        standardDeviation: (60 * standardDeviation) / cycleSeconds ** 2,
        certainty,
        derivation: {
          ...derivation,
          formula: '60 x whole cycles / their seconds',
          armStrokesPerMinute: 120 / cycleSeconds,
        },
      },
    ],
    readings: [
      {
        code: 'cycle-time',
        side: 'body',
        value: cycleSeconds,
        standardDeviation,
        certainty,
        derivation: { ...derivation, formula: 'seconds of whole cycles / their number' },
      },
      ...variationOf(cycles, events),
    ],
    notes,
  };
}
