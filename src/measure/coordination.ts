/** Index of coordination after Chollet, Chalies & Chatard 2000: does one arm start to pull when the other stops? */
import type { Arm } from '../contract/common.ts';
import { ARMS, type Events, other } from './events.ts';
import { certaintyOf, figure, info, type Note, type Part, type Reading } from './reading.ts';
import { combined, eventSd, meanOf, quantisationSd } from './uncertainty.ts';

const SOURCE = 'Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54-59';
/** A lag changes by about so many points of the cycle from stroke to stroke (judgement). */
const OWN_LAG_SD = 2;
/** Papers call it opposition within one point; the clock can force a wider band (heuristic). */
const NARROWEST_BAND = 1;

/** Equal to rounding, in seconds: halfway between two pulls the gap is meant, not the overlap. */
const SAME = 1e-9;

export type Mode = 'catch-up' | 'opposition' | 'superposition';

/**
 * Catch-up, opposition or superposition (Chollet, Chalies & Chatard 2000), with a band in which the clock cannot tell.
 *
 * @param index in % of the cycle
 * @param clockSd standard deviation of the index from the clock alone, same unit
 * @returns the mode and the half-width of the band, in % of the cycle
 */
export function modeOf(index: number, clockSd: number): { mode: Mode; deadBand: number } {
  const deadBand = Math.max(NARROWEST_BAND, 2 * clockSd);
  const mode = Math.abs(index) <= deadBand ? 'opposition' : index < 0 ? 'catch-up' : 'superposition';
  return { mode, deadBand };
}

/**
 * Lags in seconds from the end of one arm's push to the start of this arm's pull: negative is a gap. Each exit belongs
 * to the nearest pull start of the other arm, at most half a cycle away.
 */
function lagsInto(arm: Arm, { moments }: Events, cycleSeconds: number): number[] {
  const starts = moments[arm].filter((m) => m.kind === 'pull-start').map((m) => m.time);
  const exits = moments[other(arm)].filter((m) => m.kind === 'exit').map((m) => m.time);
  return exits.flatMap((exit) => {
    const lags = starts.map((start) => exit - start);
    const nearest = lags.reduce(
      (best, lag) => (Math.abs(lag) < Math.abs(best) + SAME ? lag : best),
      Number.POSITIVE_INFINITY,
    );
    return Math.abs(nearest) <= cycleSeconds / 2 + SAME ? [nearest] : [];
  });
}

/**
 * @param cycleSeconds mean cycle in seconds
 * @returns the index (mean of both lags, in % of the cycle), the lag into each arm, and their difference right minus left;
 *   the mode goes into the derivation and a note
 */
export function measureCoordination(events: Events, cycleSeconds: number | undefined): Part {
  if (cycleSeconds === undefined) return { readings: [], notes: [] };
  const { clock } = events;
  const lags = {
    left: lagsInto('left', events, cycleSeconds),
    right: lagsInto('right', events, cycleSeconds),
  };
  const percent = (seconds: number): number => (100 * seconds) / cycleSeconds;
  const usual = combined(percent(combined(eventSd('exit', clock), eventSd('pull-start', clock))), OWN_LAG_SD);
  const common = {
    inputs: 'exit of one hand, pull-start of the other, cycle time',
    source: SOURCE,
    cycleSeconds,
    clockStepSeconds: clock.step,
    frameRate: clock.frameRate ?? null,
  };
  const means = ARMS.flatMap((arm) =>
    lags[arm].length === 0
      ? []
      : [{ arm, ...meanOf(lags[arm].map(percent), usual, [lags[other(arm)].map(percent)]) }],
  );
  const readings: Reading[] = means.map((m) => ({
    code: 'coordination-lag',
    side: m.arm,
    value: m.value,
    standardDeviation: m.standardDeviation,
    certainty: certaintyOf(lags[m.arm].length),
    derivation: {
      ...common,
      formula: `100 x (exit of the ${other(m.arm)} hand - pull-start of the ${m.arm} hand) / cycle`,
      lagsSeconds: [...lags[m.arm]],
      spread: m.spread,
    },
  }));
  const [left, right] = [means.find((m) => m.arm === 'left'), means.find((m) => m.arm === 'right')];
  if (left === undefined || right === undefined) {
    const notes: Note[] =
      means.length === 0 ? [] : [info('coordination-needs-both', { code: 'coordination-index' })];
    return { readings, notes };
  }
  const value = (left.value + right.value) / 2;
  const standardDeviation = combined(left.standardDeviation, right.standardDeviation) / 2;
  // each lag lies between two moments
  const step = 2 * quantisationSd(clock.step) ** 2;
  const clockSd = percent(Math.sqrt(step / lags.left.length + step / lags.right.length)) / 2;
  const { mode, deadBand } = modeOf(value, clockSd);
  const fewest = Math.min(lags.left.length, lags.right.length);
  const parts = { intoLeft: left.value, intoRight: right.value };
  return {
    readings: [
      {
        code: 'coordination-index',
        side: 'body',
        value,
        standardDeviation,
        certainty: certaintyOf(fewest),
        derivation: {
          ...common,
          formula: 'mean of the lags into both arms',
          ...parts,
          mode,
          deadBand,
          clockSd,
        },
      },
      ...readings,
      {
        code: 'coordination-difference',
        side: 'body',
        value: right.value - left.value,
        standardDeviation: 2 * standardDeviation,
        certainty: certaintyOf(fewest),
        derivation: {
          ...common,
          formula: 'lag into the right arm - lag into the left arm',
          convention: 'right minus left, in points: a ratio has no meaning for a value that can be zero',
          ...parts,
        },
      },
    ],
    notes: [
      info(
        `coordination-${mode}`,
        { code: 'coordination-index' },
        {
          value: figure(value, 1),
          band: figure(deadBand, 1),
        },
      ),
    ],
  };
}
