/** Smoothing, its limits, and highest points of noisy movements. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { apex, tops } from '../../../src/measure/landmarks/extremum.ts';
import { lowPass, SHORTEST_RUN, whiteNoiseShares } from '../../../src/measure/landmarks/low-pass.ts';
import { crossings, valueAt } from '../../../src/measure/landmarks/sample.ts';
import { differenceNoise, trackOf } from '../../../src/measure/landmarks/smooth.ts';
import { random } from '../../forward-model/random.ts';

const TURN = 2 * Math.PI;
const samples = (count: number, at: (i: number) => number): number[] =>
  Array.from({ length: count }, (_, i) => at(i));
const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

describe('the low-pass', () => {
  const run = samples(60, (i) => Math.sin(i / 5));

  test.each([
    [25, 50],
    [30, 50],
    [0, 50],
    [-6, 50],
    [Number.NaN, 50],
  ])(
    'refuses a cut-off of %d Hz at %d samples a second: half the rate and more, or none',
    (cutOffHz, rate) => {
      expect(() => lowPass(run, cutOffHz, rate)).toThrow(RangeError);
    },
  );

  test('refuses a run shorter than its padding, and takes the shortest', () => {
    expect(() => lowPass(run.slice(0, SHORTEST_RUN - 1), 6, 50)).toThrow(RangeError);
    expect(lowPass(run.slice(0, SHORTEST_RUN), 6, 50)).toHaveLength(SHORTEST_RUN);
  });

  test('just below half the rate it lets everything through', () => {
    lowPass(run, 24.9, 50).forEach((v, i) => {
      expect(v).toBeCloseTo(run[i]!, 2);
    });
  });

  test('does not move a movement in time', () => {
    const wave = samples(400, (i) => Math.sin((TURN * i) / 50));
    const smooth = lowPass(wave, 6, 50);
    const [before, after] = [crossings(wave, 0, 1), crossings(smooth, 0, 1)];
    expect(after).toHaveLength(before.length);
    before.forEach((at, i) => {
      expect(after[i]!).toBeCloseTo(at, 2);
    });
  });

  test('keeps a straight line, but for a half percent of a step at the ends', () => {
    const STEP = 0.2;
    const line = samples(50, (i) => 3 - STEP * i);
    const errors = lowPass(line, 6, 50).map((v, i) => Math.abs(v - line[i]!));
    expect(Math.max(...errors)).toBeLessThan(0.005 * STEP);
    expect(Math.max(...errors.slice(20, 30))).toBeLessThan(1e-5 * STEP);
  });

  test('takes of white noise what its gain says', () => {
    const r = random(9);
    const noise = samples(20_000, () => r.normal(1));
    const smooth = lowPass(noise, 6, 50);
    const { taken, step } = whiteNoiseShares(6, 50);
    expect(rms(noise.map((v, i) => v - smooth[i]!)) ** 2).toBeCloseTo(taken, 1);
    expect(rms(smooth.slice(1).map((v, i) => v - smooth[i]!)) ** 2).toBeCloseTo(step, 1);
  });
});

describe('a track', () => {
  const r = random(21);
  const slow = samples(500, (i) => Math.sin((TURN * i) / 75) + r.normal(0.005));

  test('of a slow movement is cut off at 6 Hz, and its noise is found', () => {
    const { cutOffHz, noise } = trackOf(slow, 50);
    expect(cutOffHz).toBe(6);
    expect(noise).toBeCloseTo(0.005, 3);
    expect(differenceNoise(slow)).toBeCloseTo(0.005, 3);
  });

  test('of a fast movement is cut off higher: the rest would hold movement', () => {
    const fast = samples(500, (i) => 0.3 * Math.sin((TURN * i * 5) / 60) + r.normal(0.002));
    expect(trackOf(fast, 60).cutOffHz).toBeGreaterThan(6);
  });

  test.each([
    [50, 6],
    [15, 6],
    [14, 5.6],
    [10, 4],
    [2, 0.8],
    [0.5, 0.2],
  ])('at %d samples a second is cut off at %d Hz: never above 0.4 of the rate', (rate, cutOffHz) => {
    const noise = random(2);
    const still = samples(300, () => noise.normal(1));
    expect(trackOf(still, rate).cutOffHz).toBeCloseTo(cutOffHz, 9);
  });
});

describe('highest points', () => {
  const value = fc.oneof(fc.integer({ min: -5, max: 5 }), fc.constant(Number.NaN));

  test('are those that a search of every neighbour finds', () => {
    fc.assert(
      fc.property(fc.array(value, { maxLength: 60 }), fc.integer({ min: 1, max: 14 }), (values, radius) => {
        const near = Math.max(1, Math.round(radius / 2));
        const slow = values.flatMap((here, i) => {
          if (!Number.isFinite(here) || i < near || i >= values.length - near) return [];
          const around = values.map((v, j) => ({ v, j })).filter(({ j }) => Math.abs(j - i) <= radius);
          if (around.some(({ v, j }) => v > here || (v === here && j < i))) return [];
          const missing = around.filter(({ v, j }) => Math.abs(j - i) <= near && Number.isNaN(v)).length;
          return missing <= 0.05 * (2 * near + 1) ? [i] : [];
        });
        expect(tops(values, radius)).toEqual(slow);
      }),
      { numRuns: 500 },
    );
  });

  test('of a parabola are exact, between the samples too', () => {
    const values = samples(41, (i) => 7 - 0.01 * (i - 20.3) ** 2);
    const { at, value: height } = apex(values, 0, 20, 8);
    expect(at).toBeCloseTo(20.3, 8);
    expect(height).toBeCloseTo(7, 8);
  });

  test('of a noisy wave are true on average, where the highest sample is not', () => {
    const NOISE = 0.15;
    const r = random(33);
    const [fitted, highest]: [number[], number[]] = [[], []];
    for (let draw = 0; draw < 8000; draw++) {
      const values = samples(60, (i) => Math.cos((TURN * (i - 30)) / 60) + r.normal(NOISE));
      fitted.push(apex(values, NOISE, 30, 6).value);
      highest.push(Math.max(...values.slice(20, 41)));
    }
    const mean = (list: readonly number[]): number => list.reduce((sum, v) => sum + v, 0) / list.length;
    // the apex of the noisy parabola alone lies 0.006 too high
    expect(Math.abs(mean(fitted) - 1)).toBeLessThan(0.003);
    expect(mean(highest)).toBeGreaterThan(1.1);
  });
});

describe('between the frames', () => {
  test('a smooth series is read close to its own value, a gap is not bridged', () => {
    const values = samples(50, (i) => Math.sin(i / 6));
    expect(valueAt(values, 20.4)).toBeCloseTo(Math.sin(20.4 / 6), 4);
    expect(valueAt(values, 20)).toBe(values[20]);
    expect(
      valueAt(
        values.map((v, i) => (i === 21 || i === 22 ? Number.NaN : v)),
        21.5,
      ),
    ).toBeNaN();
    expect(valueAt(values, -3)).toBeNaN();
    expect(valueAt(values, 80)).toBeNaN();
  });
});
