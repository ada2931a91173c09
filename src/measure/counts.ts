/** Counts against the clock: strokes per 25 m, count plus seconds, drift of the count, pace. */
import { mean, sum } from 'simple-statistics';
import { COUNT_SD, FROM_A_WALL_M, OWN_VARIATION, STOPWATCH_SD_S, type Swum, worst } from './lengths.ts';
import { info, type Part, type Reading } from './reading.ts';
import { combined, meanOf } from './uncertainty.ts';

/** What one length would be over 25 m, with the same push-off; undefined when the push-off is not known. */
function over25(s: Swum): { strokes: number | undefined; seconds: number } | undefined {
  if (Math.abs(s.metres - 25) < 1e-9) return { strokes: s.strokes, seconds: s.seconds };
  if (s.metres < FROM_A_WALL_M || !s.pushKnown || s.pushMetres >= 25) return undefined;
  const share = (25 - s.pushMetres) / (s.metres - s.pushMetres);
  return {
    strokes: s.strokes === undefined ? undefined : s.strokes * share,
    seconds: s.pushSeconds + (s.seconds - s.pushSeconds) * share,
  };
}

/** @returns strokes per 25 m and strokes plus seconds over 25 m, converted from other distances where the push-off is known */
function countsOf(lengths: readonly Swum[]): Part {
  const counted = lengths.filter((s) => s.strokes !== undefined && s.metres >= FROM_A_WALL_M);
  const each = counted.flatMap((s) => {
    const same = over25(s);
    return same === undefined ? [] : [{ strokes: same.strokes as number, seconds: same.seconds }];
  });
  if (each.length === 0) {
    return {
      readings: [],
      notes: counted.length === 0 ? [] : [info('count-needs-push-off', { code: 'strokes-per-25' })],
    };
  }
  const strokes = each.map((e) => e.strokes);
  const scores = each.map((e) => e.strokes + e.seconds);
  const usualCount = combined(COUNT_SD, OWN_VARIATION * mean(strokes));
  const usualScore = combined(usualCount, STOPWATCH_SD_S);
  const common = {
    source: 'common practice; compares a swimmer with himself or herself in one pool',
    lengths: each.length,
  };
  return {
    readings: [
      {
        code: 'strokes-per-25',
        side: 'body',
        ...valued(meanOf(strokes, usualCount)),
        certainty: 'sure',
        derivation: {
          ...common,
          inputs: 'arm strokes; for other distances the push-off too',
          formula: 'arm strokes x (25 - push-off metres) / (metres - push-off metres), mean of the lengths',
          each: strokes,
        },
      },
      {
        code: 'count-plus-seconds',
        side: 'body',
        ...valued(meanOf(scores, usualScore)),
        certainty: 'sure',
        derivation: {
          ...common,
          inputs: 'arm strokes, seconds; for other distances the push-off too',
          formula: 'arm strokes + seconds over 25 m, mean of the lengths',
          each: scores,
        },
      },
    ],
    notes: [],
  };
}

const valued = (m: { value: number; standardDeviation: number }) => ({
  value: m.value,
  standardDeviation: m.standardDeviation,
});

/** Rise of the count from the first length of the set to the last one of the same distance. */
function driftOf(lengths: readonly Swum[]): Reading[] {
  const counted = lengths.filter((s) => s.strokes !== undefined);
  const [first, last] = [counted[0], counted.at(-1)];
  if (first === undefined || last === undefined || counted.length < 2) return [];
  if (counted.some((s) => Math.abs(s.metres - first.metres) > 1e-6)) return [];
  const [before, after] = [first.strokes as number, last.strokes as number];
  return [
    {
      code: 'count-drift',
      side: 'body',
      value: (100 * (after - before)) / before,
      standardDeviation: (100 * combined(COUNT_SD, (COUNT_SD * after) / before)) / before,
      certainty: counted.length >= 4 ? 'sure' : 'likely',
      derivation: {
        inputs: 'arm strokes of the first and the last length',
        formula: '100 x (last - first) / first',
        source: 'common practice; says that form fades, not why',
        first: before,
        last: after,
        lengths: counted.length,
      },
    },
  ];
}

/** Clock time per 100 m, walls included. */
function paceOf(lengths: readonly Swum[]): Reading {
  const each = lengths.map((s) => (100 * s.seconds) / s.metres);
  const metres = sum(lengths.map((s) => s.metres));
  const value = (100 * sum(lengths.map((s) => s.seconds))) / metres;
  const usual =
    value *
    combined(
      worst(lengths, (s) => STOPWATCH_SD_S / s.seconds),
      OWN_VARIATION,
    );
  return {
    code: 'pace-per-100',
    side: 'body',
    value,
    standardDeviation: meanOf(each, usual).standardDeviation,
    certainty: 'sure',
    derivation: {
      inputs: 'metres and seconds of whole lengths, push-off included',
      formula: '100 x seconds / metres, lengths added up (paces are never averaged)',
      source: 'definition',
      lengths: lengths.length,
    },
  };
}

/**
 * Counts against the clock (common practice: numbers for one swimmer in one pool, never a ranking).
 *
 * @param lengths of one set, first to last, in metres and seconds
 * @returns pace in s/100 m, arm strokes over 25 m, strokes plus seconds over 25 m, and the drift of the count in percent; what
 *   needs a count or a push-off that was not given is left out, with a note
 */
export function measureCounts(lengths: readonly Swum[]): Part {
  if (lengths.length === 0) return { readings: [], notes: [] };
  const counts = countsOf(lengths);
  return { readings: [paceOf(lengths), ...counts.readings, ...driftOf(lengths)], notes: counts.notes };
}
