/** Critical speed against official results, worked examples and the published error. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { criticalSpeed, predictedSeconds } from '../../src/measure/critical-speed.ts';
import { found, measured, said, valueIn } from '../measure/front-crawl.ts';
import { FITS, MEET, TWO_POINT } from './fixtures/meet-2021.ts';

const trialsOf = (times: Readonly<Record<number, number>>) =>
  Object.entries(times).map(([metres, seconds]) => ({ metres: Number(metres), seconds }));

describe('27 swimmers of one meet', () => {
  test.each(MEET)('%s', (id, times) => {
    const [speed, intercept, rSquared] = FITS[id] as readonly [number, number, number];
    const own = criticalSpeed(trialsOf(times));
    expect(Math.abs(own.speed - speed)).toBeLessThan(1e-4);
    expect(Math.abs(own.distanceCapacity - intercept)).toBeLessThan(0.011);
    expect(Math.abs(own.rSquared - rSquared)).toBeLessThan(1e-6);
    const answer = measured({ timedSwims: trialsOf(times) });
    expect(Math.abs(valueIn(answer, 'critical-speed') - speed)).toBeLessThan(1e-4);
    expect(found(answer, 'critical-speed')?.derivation.distances).toEqual(Object.keys(times).map(Number));
  });

  test.each(Object.entries(TWO_POINT))('%s from 200 and 400 m', (id, [speed, intercept]) => {
    const times = MEET.find(([own]) => own === id)?.[1] ?? {};
    const own = criticalSpeed(trialsOf(times).filter((t) => t.metres <= 400));
    expect(Math.abs(own.speed - speed)).toBeLessThan(1e-4);
    expect(Math.abs(own.distanceCapacity - intercept)).toBeLessThan(0.011);
  });
});

describe('worked by hand', () => {
  test.each([
    [
      '200 and 400 m',
      [
        [200, 182],
        [400, 384],
      ],
      0.99009901,
      101,
      19.8019802,
    ],
    [
      '50 and 400 m',
      [
        [50, 38],
        [400, 384],
      ],
      1.01156069,
      98.85714286,
      11.56069364,
    ],
    [
      '200, 400 and 800 m',
      [
        [200, 182],
        [400, 384],
        [800, 806],
      ],
      0.95945182,
      104.22618834,
      27.87736904,
    ],
  ] as [string, [number, number][], number, number, number][])('%s', (_, rows, speed, pace, intercept) => {
    const answer = measured({ timedSwims: rows.map(([metres, seconds]) => ({ metres, seconds })) });
    expect(valueIn(answer, 'critical-speed')).toBeCloseTo(speed, 6);
    expect(valueIn(answer, 'critical-pace')).toBeCloseTo(pace, 4);
    expect(found(answer, 'critical-speed')?.derivation.distanceCapacityM).toBeCloseTo(intercept, 6);
  });

  test('2 s more over 200 m are 1 s per 100 m of the pace', () => {
    const paceWith = (seconds: number): number =>
      valueIn(
        measured({
          timedSwims: [
            { metres: 200, seconds },
            { metres: 400, seconds: 384 },
          ],
        }),
        'critical-pace',
      );
    expect(paceWith(184)).toBeCloseTo(100, 9);
    expect(paceWith(182) - paceWith(184)).toBeCloseTo(1, 9);
  });

  test('1500 m from 200 and 400 m: 1495.0 s', () => {
    const fit = criticalSpeed([
      { metres: 200, seconds: 182 },
      { metres: 400, seconds: 384 },
    ]);
    expect(predictedSeconds(fit, 1500)).toBeCloseTo(1495, 1);
  });

  test('a 200 m slower than half of the 400 m was not all-out: refused', () => {
    const answer = measured({
      timedSwims: [
        { metres: 400, seconds: 384 },
        { metres: 200, seconds: 195 },
      ],
    });
    expect(found(answer, 'critical-speed')).toBeUndefined();
    expect(said(answer, 'critical-speed-not-all-out')?.text).toMatch(/^The 200 m swim/);
  });

  test('one distance is refused, however often it was swum', () => {
    const answer = measured({ timedSwims: [400, 400].map((metres) => ({ metres, seconds: 384 })) });
    expect(answer.measurements).toEqual([]);
    expect(said(answer, 'critical-speed-one-distance')?.text).toMatch(/One distance \(400 m\)/);
  });
});

test('of two swims over one distance the faster counts', () => {
  const timedSwims = [
    { metres: 200, seconds: 190 },
    { metres: 200, seconds: 182 },
    { metres: 400, seconds: 384 },
  ];
  expect(valueIn(measured({ timedSwims }), 'critical-speed')).toBeCloseTo(0.99009901, 6);
});

test('what is not refused never has a distance capacity below zero', () => {
  const times = fc.array(fc.double({ min: 20, max: 2000, noNaN: true }), { minLength: 2, maxLength: 5 });
  fc.assert(
    fc.property(times, (drawn) => {
      const timedSwims = drawn.map((seconds, i) => ({ metres: [100, 200, 400, 800, 1500][i], seconds }));
      const own = found(measured({ timedSwims }), 'critical-speed');
      fc.pre(own !== undefined);
      expect(own?.derivation.distanceCapacityM).toBeGreaterThan(-1e-6);
      expect(own?.value).toBeGreaterThan(0);
    }),
    { numRuns: 200, seed: 3 },
  );
});

/** J Hum Kinet 2024 (PMC10875687), 32 swimmers, 200 and 400 m: typical error of the critical speed up to 0.04 m/s. */
test('the stated error for 200 and 400 m is the published one', () => {
  const answer = measured({
    timedSwims: [
      { metres: 200, seconds: 182 },
      { metres: 400, seconds: 384 },
    ],
  });
  const sd = found(answer, 'critical-speed')?.standardDeviation ?? 0;
  expect(sd).toBeGreaterThan(0.035);
  expect(sd).toBeLessThan(0.045);
});

test('the distance capacity is named without a verdict', () => {
  const answer = measured({ timedSwims: trialsOf(MEET[1]?.[1] ?? {}) });
  expect(answer.measurements.map((m) => m.code)).toEqual(['critical-speed', 'critical-pace']);
  expect(found(answer, 'critical-speed')?.derivation.distanceCapacityNote).toMatch(/^no verdict/);
  expect(answer.messages.map((m) => m.text).join(' ')).not.toMatch(/capacity/);
});
