/** From the values of strokes to one value with its error, and the pieces that pick those values. */
import { describe, expect, test } from 'vitest';
import { shortestHalf } from '../../../src/measure/landmarks/head.ts';
import { turningPoints } from '../../../src/measure/landmarks/kick.ts';
import { fromBelievableChange } from '../../../src/measure/landmarks/quantity.ts';
import { estimates, smallSampleFactor } from '../../../src/measure/landmarks/spread.ts';
import { cycleWindows, within } from '../../../src/measure/landmarks/windows.ts';
import { random } from '../../forward-model/random.ts';

/** Student's t quantile at the normal probability of one standard deviation, from SciPy 1.17.1 (`t.ppf(norm.cdf(1), n)`). */
test.each([
  [4, 1.1416],
  [5, 1.1105],
  [8, 1.0662],
  [12, 1.0433],
  [30, 1.0169],
])('with %d degrees of freedom an interval is wider by %d', (freedom, quantile) => {
  expect(smallSampleFactor(freedom)).toBeCloseTo(quantile, 2);
});

describe('a value from several strokes', () => {
  const reading = (values: number[], systematic = 0) => ({ side: 'left' as const, values, systematic });

  test('is their mean, and surer the more there are', () => {
    const [few] = estimates([reading([10, 12, 11])], 1);
    const [many] = estimates([reading([10, 12, 11, 10, 12, 11, 10, 12, 11, 10, 12, 11])], 1);
    expect(few!.value).toBeCloseTo(11, 9);
    expect(many!.value).toBeCloseTo(11, 9);
    expect(many!.standardDeviation).toBeLessThan(0.55 * few!.standardDeviation);
  });

  test('has an error that no number of strokes takes away: that of the camera', () => {
    const [found] = estimates(
      [
        reading(
          Array.from({ length: 400 }, () => 11),
          2,
        ),
      ],
      0.1,
    );
    expect(found!.standardDeviation).toBeCloseTo(2, 2);
  });

  test('strokes that agree by chance do not make it sure: the usual spread is weighed in', () => {
    const [one, two] = [estimates([reading([11])], 1), estimates([reading([11, 11])], 1)];
    expect(one[0]!.standardDeviation).toBeGreaterThan(1);
    expect(two[0]!.standardDeviation).toBeGreaterThan(0.4);
  });

  test('lies within its error as often as a normal error does, for three to six strokes', () => {
    const r = random(8);
    let inside = 0;
    const DRAWS = 4000;
    for (let draw = 0; draw < DRAWS; draw++) {
      const strokes = Array.from({ length: 3 + (draw % 4) }, () => r.normal(1.5));
      const [found] = estimates([reading(strokes)], 1.5);
      if (Math.abs(found!.value) <= found!.standardDeviation) inside++;
    }
    expect(inside / DRAWS).toBeGreaterThan(0.66);
    expect(inside / DRAWS).toBeLessThan(0.74);
  });
});

test('a believable change of 6 degrees between films of three cycles: 2.65 degrees from cycle to cycle', () => {
  expect(fromBelievableChange(6)).toBeCloseTo(2.651, 3);
});

describe('the usual angle of a head that turns to breathe', () => {
  test('is that of most frames, not the mean with the breath', () => {
    const frames = [
      ...Array.from({ length: 30 }, (_, i) => 5 + (i % 3)),
      ...Array.from({ length: 14 }, () => 60),
    ];
    expect(shortestHalf(frames)).toBeGreaterThanOrEqual(5);
    expect(shortestHalf(frames)).toBeLessThanOrEqual(7);
    expect(shortestHalf([4])).toBe(4);
  });
});

describe('turning points of a foot', () => {
  const wave = Array.from({ length: 200 }, (_, i) => Math.sin((2 * Math.PI * i) / 40));

  test('tops and bottoms in turn', () => {
    const turns = turningPoints(wave, 0.5);
    expect(turns.map((t) => t.at)).toEqual([10, 30, 50, 70, 90, 110, 130, 150, 170, 190]);
    expect(turns.map((t) => t.top)).toEqual(turns.map((_, i) => i % 2 === 0));
  });

  test('wiggles smaller than asked for are passed over', () => {
    const wiggly = wave.map((v, i) => v + 0.1 * Math.sin(2 * i));
    expect(turningPoints(wiggly, 0.5)).toHaveLength(10);
    expect(turningPoints(wiggly, 0.05).length).toBeGreaterThan(30);
  });
});

describe('whole cycles of a recording', () => {
  test('as many as fit, in the middle of it', () => {
    expect(cycleWindows(201, 60)).toEqual([
      { from: 10, to: 70 },
      { from: 70, to: 130 },
      { from: 130, to: 190 },
    ]);
    expect(cycleWindows(50, 60)).toEqual([]);
    expect(cycleWindows(50, undefined)).toEqual([{ from: 0, to: 50 }]);
  });

  test('one with too many gaps is left out', () => {
    const values = [1, 2, Number.NaN, 4, 5];
    expect(within(values, { from: 0, to: 5 }, 0.8)).toEqual([1, 2, 4, 5]);
    expect(within(values, { from: 0, to: 5 }, 0.9)).toBeUndefined();
  });
});
