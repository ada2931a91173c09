/** Frame rates and derivatives: tables worked by hand, and the errors that the service states. */
import { describe, expect, test } from 'vitest';
import { differenceGain, speedNoise, speedsOf } from '../../src/measure/speed-variation.ts';
import { coordinationFrameSd, frameSd } from '../../src/measure/uncertainty.ts';
import { random } from '../forward-model/random.ts';
import { found, measured } from '../measure/front-crawl.ts';
import { marksOf, STEADY } from '../measure/swimmer.ts';

/** Uniform error of one frame: 1/(fps sqrt 12) for one moment, for a cycle of 1.5 s. Milliseconds and % of the cycle. */
test.each([
  [25, 11.54700538, 16.32993162, 0.76980036],
  [30, 9.6225045, 13.60827635, 0.6415003],
  [50, 5.77350269, 8.16496581, 0.38490018],
  [60, 4.81125224, 6.80413817, 0.32075015],
  [120, 2.40562612, 3.40206909, 0.16037507],
  [240, 1.20281306, 1.70103454, 0.08018754],
])(
  '%d frames a second: %d ms a moment, %d ms an interval, %d %% of the index',
  (fps, moment, interval, index) => {
    expect(1000 * frameSd(fps)).toBeCloseTo(moment, 6);
    expect(1000 * Math.SQRT2 * frameSd(fps)).toBeCloseTo(interval, 6);
    expect(coordinationFrameSd(fps, 1.5)).toBeCloseTo(index, 6);
  },
);

describe('the frame part that the service states', () => {
  test('one lag into each arm at 30 frames a second: 0.64 % of a cycle of 1.5 s', () => {
    const swim = { ...STEADY, cycles: 1, cycleSeconds: 1.5 };
    const events = [
      ...marksOf(swim),
      { arm: 'right' as const, kind: 'pull-start' as const, time: swim.start + 1.35 * 1.5 },
    ].map(({ time, ...m }) => ({ ...m, frame: Math.round(time * 30) }));
    const index = found(measured({ frameRate: 30, events }), 'coordination-index');
    expect(index?.derivation.clockSd).toBeCloseTo(0.6415, 1);
    // within the stated one, which also holds the choice of the moment and the swimmer
    expect(index?.standardDeviation).toBeGreaterThan(0.64);
  });

  test('ten cycles timed end to end: the frame part of the cycle time is a tenth', () => {
    const entries = (cycles: number) =>
      Array.from({ length: cycles + 1 }, (_, i) => ({ arm: 'left', kind: 'entry', frame: 45 * i }));
    const one = found(measured({ frameRate: 30, events: entries(1) }), 'cycle-time');
    const ten = found(measured({ frameRate: 30, events: entries(10) }), 'cycle-time');
    expect(ten?.standardDeviation).toBeLessThan((one?.standardDeviation ?? 0) / 3);
  });
});

/** Central difference: noise s/(sqrt 2 dt) and gain sin(w dt)/(w dt). */
describe('speeds from places', () => {
  test('5 mm at 50 a second: 0.1768 m/s', () => {
    expect(speedNoise(0.005, 50)).toBeCloseTo(0.1767767, 6);
  });

  test('1 Hz at 50 a second keeps 0.99737 of its swing', () => {
    expect(differenceGain(1, 50)).toBeCloseTo(0.99737018, 7);
    expect(differenceGain(5, 50)).toBeCloseTo(0.9355, 4);
    const places = Array.from({ length: 501 }, (_, i) => Math.sin((2 * Math.PI * i) / 50) / (2 * Math.PI));
    const peak = Math.max(...speedsOf(places, 50).filter(Number.isFinite));
    expect(peak).toBeCloseTo(0.99737018, 7);
  });

  test('white noise through the difference has the stated spread', () => {
    const r = random(11);
    const speeds = speedsOf(
      Array.from({ length: 20_000 }, () => r.normal(0.005)),
      50,
    ).filter(Number.isFinite);
    const spread = Math.sqrt(speeds.reduce((sum, v) => sum + v * v, 0) / speeds.length);
    expect(Math.abs(spread / 0.1767767 - 1)).toBeLessThan(0.02);
  });
});
