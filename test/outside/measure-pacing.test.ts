/** Pacing against official splits. */
import { describe, expect, test } from 'vitest';
import { pacing } from '../../src/measure/pacing.ts';
import { found, measured, valueIn } from '../measure/front-crawl.ts';
import { FASTEST, HALVES } from './fixtures/heats-2021.ts';

describe("women's 400 m freestyle heats", () => {
  test('the laps of the fastest are those that the results print', () => {
    const printed = [28.1, 30.11, 30.59, 30.74, 30.82, 30.98, 31.13, 30.6];
    pacing(FASTEST).laps.forEach((lap, i) => {
      expect(lap).toBeCloseTo(printed[i] as number, 6);
    });
  });

  // sample standard deviation over mean; the first lap holds the dive
  test('laps 2 to 7 vary by 1.159 %, all laps by 3.198 %', () => {
    const own = pacing(FASTEST);
    expect(Math.abs((own.middleVariation ?? 0) - 1.159)).toBeLessThan(0.001);
    expect(Math.abs(own.variation - 3.198)).toBeLessThan(0.001);
    const answer = measured({ timedSwims: [{ metres: 400, seconds: 243.07, splits: FASTEST }] });
    expect(Math.abs(valueIn(answer, 'pace-variation') - 1.159)).toBeLessThan(0.001);
    expect(found(answer, 'pace-variation')?.derivation.allLaps).toBeCloseTo(3.198, 3);
  });

  test('exactly one of 46 swam the second half faster', () => {
    const negative = HALVES.filter((halves) => (pacing(halves).secondHalfChange ?? 0) < 0);
    expect(HALVES).toHaveLength(46);
    expect(negative).toEqual([[127.88, 255.05]]);
  });
});

/** Men's 100 m freestyle final of the 2024 Olympic Games, official splits: first and second 50 m of each. */
test.each([
  [22.28, 24.12, 46.4],
  [23.03, 24.45, 47.48],
  [22.94, 24.55, 47.49],
  [22.9, 24.6, 47.5],
  [22.61, 25.1, 47.71],
  [22.93, 24.87, 47.8],
  [22.63, 25.33, 47.96],
  [22.82, 25.16, 47.98],
])('%d and %d make %d, and the second is slower', (first, second, final) => {
  const answer = measured({ timedSwims: [{ metres: 100, seconds: final, splits: [first, final] }] });
  expect(valueIn(answer, 'second-half-change')).toBeCloseTo(100 * (second / first - 1), 6);
  expect(found(answer, 'pace-variation')).toBeUndefined();
});
