/** The smallest change to believe, item by item, and the larger of it and what the stated errors allow. */
import { describe, expect, test } from 'vitest';
import { ruleSet } from '../assess/front-crawl.ts';
import { changeOf, comparePair } from './films.ts';

/** Code, first value, a change that does not count yet, one that just does; limits as a coach's judgement sets them. */
const LIMITS: readonly (readonly [string, number, number, number])[] = [
  ['hip-depth', 12, 2.9, 3],
  ['trunk-incline', 16, 2.9, 3],
  ['neck-extension', 30, 5.9, 6],
  ['head-lift', 7, 1.9, 2],
  ['shoulder-roll', 30, 5.9, 6],
  ['roll-asymmetry', 20, 5.9, 6],
  ['entry-offset', 12, 3.9, 4],
  ['elbow-drop', 8, 2.9, 3],
  ['forearm-pitch-at-catch', 30, 7.9, 8],
  ['forearm-from-vertical-mid', 40, 7.9, 8],
  ['exit-past-hip', 2, 3.9, 4],
  ['recovery-width', 40, 7.9, 8],
  ['stroke-rate', 30, 1.4, 1.5],
  ['stroke-length', 2, 0.079, 0.08],
  ['strokes-per-25', 20, 0.9, 1],
  ['swim-speed', 1.1, 0.021, 0.022],
  ['pace-per-100', 100, 1.9, 2],
  ['kick-25-time', 30, 1.9, 2],
  ['kick-25-time', 60, 2.9, 3],
  ['buoy-gain', 5, 2.9, 3],
  ['count-drift', 12, 3.9, 4],
  ['underwater-time-asymmetry', 14, 4.9, 5],
  ['speed-variation', 18, 1.9, 2],
  ['ankle-point', 45, 4.9, 5],
  ['overhead-reach', 20, 4.9, 5],
  ['effort-easy', 6, 0.9, 1],
];
const SIDED = new Set(ruleSet.parts.measurements.filter((m) => m.sided).map((m) => m.code));

const verdictAfter = async (code: string, from: number, change: number): Promise<string> => {
  const at = (value: number) => ({
    measured: [{ code, value, ...(SIDED.has(code) ? { side: 'left' as const } : {}) }],
  });
  const answer = await comparePair(at(from), at(from + change));
  return changeOf(answer, 'measurement', code, SIDED.has(code) ? 'left' : 'body').verdict;
};

describe('a measured change', () => {
  test.each(LIMITS)('of %s from %d: %d is none yet, %d may be one', async (code, from, less, enough) => {
    for (const sign of [1, -1]) {
      expect(await verdictAfter(code, from, sign * less), `${sign * less}`).toBe('no-change-seen');
      expect(await verdictAfter(code, from, sign * enough), `${sign * enough}`).toBe('possible-change');
    }
  });

  test('has a limit for every measurement in the list, and each one says when it holds', () => {
    const listed = new Set([...LIMITS.map(([code]) => code), 'pain', 'critical-speed', 'critical-pace']);
    expect(new Set(ruleSet.parts['change-limits'].map((l) => l.code))).toEqual(listed);
  });

  test.each([
    [1, 3],
    [2, 1.96 * Math.SQRT2 * 2],
  ])(
    'with a standard deviation of %d each needs %d: the larger of the limit and 1.96 root 2 SEM',
    async (sd, limit) => {
      const at = (value: number) => ({ measured: [{ code: 'hip-depth', value, standardDeviation: sd }] });
      const { smallestBelievable, statistics } = changeOf(
        await comparePair(at(12), at(9)),
        'measurement',
        'hip-depth',
      );
      expect(smallestBelievable).toBeCloseTo(limit, 10);
      expect(statistics).toMatchObject({ method: 'stated', difference: -3 });
      expect((statistics?.high ?? 0) - (statistics?.low ?? 0)).toBeCloseTo(2 * 1.96 * Math.SQRT2 * sd, 10);
    },
  );

  test('without a limit and without errors is not comparable, and says so', async () => {
    const at = (value: number) => ({ measured: [{ code: 'knee-bend', value }] });
    const change = changeOf(await comparePair(at(60), at(40)), 'measurement', 'knee-bend');
    expect(change).toMatchObject({ verdict: 'not-comparable', because: { code: 'no-limit-known' } });
  });

  test('without a limit but with errors is held against them', async () => {
    const at = (value: number) => ({ measured: [{ code: 'knee-bend', value, standardDeviation: 3 }] });
    const change = changeOf(await comparePair(at(60), at(40)), 'measurement', 'knee-bend');
    expect(change).toMatchObject({ verdict: 'possible-change', direction: 'better' });
  });

  test.each([
    ['swim-speed', 1.3, 1.4, 'better'],
    ['swim-speed', 1.4, 1.3, 'worse'],
    ['kick-25-time', 28, 24, 'better'],
    ['shoulder-roll', 44, 53, 'none'],
    ['hip-depth', 12, 6, 'better'],
    ['entry-offset', -6, 12, 'better'],
    ['stroke-rate', 32, 36, 'none'],
  ])('of %s from %d to %d is "%s"', async (code, from, to, direction) => {
    const side = SIDED.has(code) ? ('left' as const) : ('body' as const);
    const at = (value: number) => ({ measured: [{ code, side, value }] });
    expect(changeOf(await comparePair(at(from), at(to)), 'measurement', code, side).direction).toBe(
      direction,
    );
  });
});
