/** Values that no swimmer shows. They are still given, marked as unsure and with the reason, never used in silence. */
import { figure, type Note, type Reading, warning } from './reading.ts';

interface Limits {
  readonly low: number;
  readonly high: number;
}

/**
 * Limits for input, wider than any band of a level (judgement): what lies outside is a slip of the hand or the watch, not a
 * swimmer.
 */
const LIMITS: Readonly<Record<string, Limits>> = {
  'swim-speed': { low: 0.2, high: 2.6 },
  'stroke-rate': { low: 10, high: 80 },
  'stroke-length': { low: 0.6, high: 3.6 },
  'cycle-time': { low: 0.75, high: 6 },
  'coordination-index': { low: -40, high: 40 },
  'propulsive-share': { low: 15, high: 75 },
  'front-time-share': { low: 0, high: 75 },
  'recovery-share': { low: 8, high: 60 },
  'arm-stroke-efficiency': { low: 10, high: 80 },
  'speed-variation': { low: 2, high: 60 },
  'critical-speed': { low: 0.2, high: 2.2 },
  'kick-25-time': { low: 10, high: Number.POSITIVE_INFINITY },
  'buoy-gain': { low: -40, high: 40 },
  'count-drift': { low: -50, high: 80 },
};

/** Values that are worked out from others, or from the same count or time, are as unsure as those. */
const FOLLOWS: Readonly<Record<string, readonly string[]>> = {
  'pace-per-100': ['swim-speed'],
  'stroke-rate': ['stroke-length'],
  'stroke-length': ['stroke-rate', 'swim-speed'],
  'stroke-index': ['swim-speed', 'stroke-rate', 'stroke-length'],
  'cycle-time': ['stroke-rate'],
  'cycle-variation': ['stroke-rate'],
  'strokes-per-25': ['stroke-rate', 'stroke-length', 'count-drift'],
  'count-plus-seconds': ['swim-speed', 'stroke-rate', 'stroke-length', 'count-drift'],
  'critical-pace': ['critical-speed'],
  'arm-stroke-efficiency': ['swim-speed', 'stroke-rate'],
};

/** A cycle time says the same as the rate: one warning is enough. */
const SAID_BY: Readonly<Record<string, string>> = { 'cycle-time': 'stroke-rate' };

function outside({ code, value }: Reading): 'low' | 'high' | undefined {
  const limits = LIMITS[code];
  if (limits === undefined) return undefined;
  return value < limits.low ? 'low' : value > limits.high ? 'high' : undefined;
}

/**
 * Looks for values that no swimmer shows (limits: judgement).
 *
 * @param readings each in the unit of its code
 * @param unitOf unit of each code, for the words
 * @returns the readings, the implausible ones as unsure, and a warning with the reason for each
 */
export function checkPlausibility(
  readings: readonly Reading[],
  unitOf: (code: string) => string,
): { readings: Reading[]; notes: Note[] } {
  const odd = new Set(readings.filter((r) => outside(r) !== undefined).map((r) => r.code));
  const notes = readings.flatMap((r): Note[] => {
    const end = outside(r);
    if (end === undefined || odd.has(SAID_BY[r.code] ?? '')) return [];
    const limits = LIMITS[r.code] as Limits;
    return [
      warning(
        `implausible-${end}`,
        { code: r.code, side: r.side },
        {
          value: figure(r.value),
          limit: figure(limits[end]),
          unit: unitOf(r.code),
          hint: `${r.code}-${end}`,
        },
      ),
    ];
  });
  const doubted = (r: Reading): boolean =>
    outside(r) !== undefined || (FOLLOWS[r.code] ?? []).some((code) => odd.has(code));
  return { readings: readings.map((r) => (doubted(r) ? { ...r, certainty: 'unsure' } : r)), notes };
}
