/** Gap rules: short gaps are filled, long gaps break the track. A missing sample is NaN. */

/** Longest gap that is filled, in seconds. A hand does not turn round in a tenth of a second; it does in a quarter
 * (judgement). */
export const SHORT_GAP_S = 0.1;

/** A stretch of frames. */
export interface Run {
  /** First index. */
  readonly from: number;
  /** One past the last index. */
  readonly to: number;
}

/** @returns stretches of finite samples, in order, as frame numbers */
export function runsOf(values: readonly number[]): Run[] {
  const runs: Run[] = [];
  let from = -1;
  for (let i = 0; i <= values.length; i++) {
    const present = i < values.length && Number.isFinite(values[i]);
    if (present && from < 0) from = i;
    if (!present && from >= 0) {
      runs.push({ from, to: i });
      from = -1;
    }
  }
  return runs;
}

/** Hermite cubic between the samples beside a gap, with the slopes that the samples before and after it have. */
function fillBetween(values: number[], before: Run, after: Run): void {
  const a = before.to - 1;
  const b = after.from;
  const slopeOf = (run: Run, end: 'start' | 'stop'): number => {
    const span = Math.min(3, run.to - run.from - 1);
    if (span === 0) return (values[b]! - values[a]!) / (b - a);
    return end === 'stop'
      ? (values[run.to - 1]! - values[run.to - 1 - span]!) / span
      : (values[run.from + span]! - values[run.from]!) / span;
  };
  const width = b - a;
  const [startSlope, stopSlope] = [slopeOf(before, 'stop') * width, slopeOf(after, 'start') * width];
  for (let i = a + 1; i < b; i++) {
    const t = (i - a) / width;
    values[i] =
      (1 + 2 * t) * (1 - t) ** 2 * values[a]! +
      t * (1 - t) ** 2 * startSlope +
      t * t * (3 - 2 * t) * values[b]! +
      t * t * (t - 1) * stopSlope;
  }
}

/**
 * @param values samples of one coordinate, NaN where missing
 * @returns a copy in which gaps of at most SHORT_GAP_S are filled; gaps at the ends never are
 */
export function fillShortGaps(values: readonly number[], frameRate: number): number[] {
  const filled = [...values];
  const runs = runsOf(values);
  for (let r = 1; r < runs.length; r++) {
    const [before, after] = [runs[r - 1]!, runs[r]!];
    if (after.from - before.to <= SHORT_GAP_S * frameRate) fillBetween(filled, before, after);
  }
  return filled;
}
