/** Speed, rate and length against worked examples, printed group means and another tool's output. */
import { describe, expect, test } from 'vitest';
import { armStrokes } from '../../src/measure/events.ts';
import { cleanLength } from '../../src/measure/lengths.ts';
import { lengthFrom, paceFrom, speedFrom, strokeIndex } from '../../src/measure/stroke.ts';
import { found, measured, said, valueIn } from '../measure/front-crawl.ts';

describe('worked by hand from the definitions', () => {
  test('10 cycles in 15.6 s and 15 m in 11.8 s', () => {
    const entries = Array.from({ length: 11 }, (_, i) => ({ arm: 'left', kind: 'entry', time: 1.56 * i }));
    const answer = measured({ events: entries, lengths: [{ metres: 15, seconds: 11.8, pushOffMetres: 0 }] });
    expect(valueIn(answer, 'stroke-rate')).toBeCloseTo(38.46153846, 6);
    expect(found(answer, 'stroke-rate')?.derivation.armStrokesPerMinute).toBeCloseTo(76.92307692, 6);
    expect(valueIn(answer, 'swim-speed')).toBeCloseTo(1.27118644, 6);
    expect(valueIn(answer, 'stroke-length')).toBeCloseTo(1.98305085, 6);
    expect(valueIn(answer, 'stroke-index')).toBeCloseTo(2.52082735, 6);
    expect(valueIn(answer, 'pace-per-100')).toBeCloseTo(78.66666667, 6);
    expect(answer.messages).toEqual([]);
  });

  test('25 m in 22.0 s with 20 arm strokes, after a push-off of 5 m in 2.6 s', () => {
    const length = { metres: 25, seconds: 22, armStrokes: 20, pushOffMetres: 5, pushOffSeconds: 2.6 };
    const answer = measured({ lengths: [length] });
    expect(valueIn(answer, 'swim-speed')).toBeCloseTo(1.03092784, 6);
    expect(valueIn(answer, 'stroke-length')).toBeCloseTo(2, 9);
    expect(valueIn(answer, 'stroke-rate')).toBeCloseTo(30.92783505, 6);
  });

  test('the same without the push-off: 10.2 % too fast, 25 % too long, and it is said', () => {
    const answer = measured({ lengths: [{ metres: 25, seconds: 22, armStrokes: 20 }] });
    expect(valueIn(answer, 'swim-speed')).toBeCloseTo(1.13636364, 6);
    expect(valueIn(answer, 'stroke-length')).toBeCloseTo(2.5, 9);
    const text = said(answer, 'push-off-unknown')?.text ?? '';
    expect(text).toMatch(/speed may be up to 10 % too high and the stroke length up to 25 % too high/);
    // the stated error covers what the push-off does
    expect(found(answer, 'stroke-length')?.standardDeviation).toBeGreaterThan(0.25);
  });

  test.each([
    [22, 20, 42],
    [20, 22, 42],
  ])('%d s and %d arm strokes make %d points', (seconds, armStrokes, points) => {
    const answer = measured({ lengths: [{ metres: 25, seconds, armStrokes, pushOffMetres: 0 }] });
    expect(valueIn(answer, 'count-plus-seconds')).toBeCloseTo(points, 9);
  });
});

/**
 * The score of seconds and strokes is a measure of the trade that nobody validated: 22 s with 20 strokes and 20 s with 22 give
 * the same, though one swims 10 % faster (worked by hand).
 */
test('the same swim counted in cycles would score 32: the service counts arm strokes, and says that 5 m a cycle is wrong', () => {
  const swim = { metres: 25, seconds: 22, pushOffMetres: 0 };
  const counted = measured({ lengths: [{ ...swim, armStrokes: 20 }] });
  const cycles = measured({ lengths: [{ ...swim, armStrokes: 10 }] });
  expect(valueIn(counted, 'count-plus-seconds')).toBeCloseTo(42, 9);
  expect(valueIn(cycles, 'count-plus-seconds')).toBeCloseTo(32, 9);
  expect(said(counted, 'implausible-high')).toBeUndefined();
  expect(said(cycles, 'implausible-high')).toMatchObject({
    severity: 'warning',
    about: { code: 'stroke-length' },
  });
  expect(said(cycles, 'implausible-high')?.text).toMatch(/If cycles were counted, double the count/);
  expect(found(cycles, 'count-plus-seconds')?.certainty).toBe('unsure');
});

describe('printed group means', () => {
  // Chatard et al. 1998, 400 m of triathletes alone and behind another: rate, length and time of one abstract
  test.each([
    ['alone', 41.3, 1.97, 297.25, 1.35601667, 1.34566863],
    ['drafting', 39.9, 2.1, 287.69, 1.3965, 1.39038549],
  ])('%s: speed from rate and length, and from the time', (_, rate, length, seconds, fromRate, fromTime) => {
    expect(speedFrom(rate, length)).toBeCloseTo(fromRate, 6);
    expect(cleanLength(400, seconds, undefined, 0, 0).speed).toBeCloseTo(fromTime, 6);
    // turns explain the gap, which is within what may differ
    expect(fromRate / fromTime - 1).toBeLessThan(0.03);
    expect(lengthFrom(fromRate, rate)).toBeCloseTo(length, 6);
  });

  // Wadrzyk et al. 2022, 100 m: the two groups whose printed index agrees with speed times length
  test.each([
    [1.7, 2.06, 3.52],
    [1.51, 1.85, 2.8],
  ])('%d m/s and %d m give an index of %d', (speed, length, printed) => {
    expect(Math.abs(strokeIndex(speed, length) - printed)).toBeLessThan(0.02);
  });

  // girls of 13-14 at national level: 1.59 m/s, 0.84 cycles/s, 1.90 m
  test('speed, rate and length of one group fit together', () => {
    expect(speedFrom(0.84 * 60, 1.9)).toBeCloseTo(1.596, 6);
    expect(paceFrom(1.59)).toBeCloseTo(62.893, 3);
  });

  // Toussaint 1990, Med Sci Sports Exerc 22:409-415, arms only: distance per ARM STROKE 1.23 and 0.92 m
  test.each([
    [1.17, 1.23, 28.54],
    [0.95, 0.92, 30.98],
  ])('%d m/s with %d m per arm stroke is %d cycles/min', (speed, perStroke, cycles) => {
    const metres = 100 * perStroke;
    const answer = measured({
      lengths: [{ metres, seconds: metres / speed, armStrokes: 100, pushOffMetres: 0 }],
    });
    expect(Math.abs(valueIn(answer, 'stroke-rate') - cycles)).toBeLessThan(0.005);
    expect(valueIn(answer, 'stroke-length')).toBeCloseTo(2 * perStroke, 9);
  });
});

/**
 * Entries of one lane with the numbers that the annotation tool printed beside them: centralelyon/sportsdata, file
 * exemple_annotation_ligne_5_cycles.csv at commit 8efb6266 (MIT). Every row is ONE arm entry. Frame, metres, then cycle time,
 * cycles per minute, metres per cycle and m/s from the row before.
 */
const ANNOTATED: readonly (readonly [number, number, number?, number?, number?, number?])[] = [
  [63, 3.9],
  [113, 6.87, 2.0, 30.0, 5.94, 2.97],
  [163, 9.79, 2.0, 30.0, 5.84, 2.92],
  [203, 12.3, 1.6, 37.5, 5.02, 3.14],
  [261, 15.64, 2.32, 25.86, 6.68, 2.88],
  [314, 19.02, 2.12, 28.3, 6.76, 3.19],
  [367, 21.8, 2.12, 28.3, 5.56, 2.62],
  [413, 24.08, 1.84, 32.61, 4.56, 2.48],
  [466, 26.67, 2.12, 28.3, 5.18, 2.44],
  [513, 29.09, 1.88, 31.91, 4.84, 2.57],
  [562, 31.56, 1.96, 30.61, 4.94, 2.52],
  [612, 34.05, 2.0, 30.0, 4.98, 2.49],
  [661, 36.68, 1.96, 30.61, 5.26, 2.68],
  [713, 39.88, 2.08, 28.85, 6.4, 3.08],
  [762, 42.97, 1.96, 30.61, 6.18, 3.15],
  [813, 46.29, 2.04, 29.41, 6.64, 3.25],
  [862, 49.3, 1.96, 30.61, 6.02, 3.07],
];
const FRAME_RATE = 50;

describe("another tool's arm entries", () => {
  const entries = ANNOTATED.map(([frame, metres]) => ({ time: frame / FRAME_RATE, metres }));

  test('all 16 intervals agree within 0.006', () => {
    const own = armStrokes(entries);
    expect(own).toHaveLength(16);
    const gaps = own.flatMap((stroke, i) => {
      const [, , cycle = 0, rate = 0, length = 0, speed = 0] = ANNOTATED[i + 1] ?? [];
      return [stroke.cycleSeconds - cycle, stroke.rate - rate, stroke.length - length, stroke.speed - speed];
    });
    expect(Math.max(...gaps.map(Math.abs))).toBeLessThan(0.006);
  });

  test('through the service: half the rate of a program that takes each row for a cycle, and flagged', () => {
    const events = ANNOTATED.map(([frame, metres], i) => ({
      arm: i % 2 === 0 ? 'left' : 'right',
      kind: 'entry',
      frame,
      metres,
    }));
    const answer = measured({ frameRate: FRAME_RATE, events });
    // 8 cycles of the left hand from 1.26 to 17.24 s and 7 of the right from 2.26 to 16.26 s
    expect(valueIn(answer, 'stroke-rate')).toBeCloseTo((60 * 15) / (15.98 + 14), 9);
    expect(valueIn(answer, 'stroke-length')).toBeCloseTo((45.4 + 39.42) / 15, 9);
    const flagged = answer.messages.filter((m) => m.severity === 'warning').map((m) => m.about.code);
    expect(flagged).toEqual(expect.arrayContaining(['stroke-length', 'swim-speed']));
    expect(said(answer, 'implausible-high')?.text).toMatch(/No swimmer is above/);
    expect(found(answer, 'stroke-length')?.certainty).toBe('unsure');
  });

  test('one length at a time: every length and speed that no swimmer shows is flagged', () => {
    for (const [i, [, metres]] of ANNOTATED.slice(1).entries()) {
      const [, before] = ANNOTATED[i] as readonly [number, number];
      const [, , cycle = 0, , length = 0] = ANNOTATED[i + 1] ?? [];
      const answer = measured({
        lengths: [{ metres: metres - before, seconds: cycle / 2, armStrokes: 1, pushOffMetres: 0 }],
      });
      expect(Math.abs(valueIn(answer, 'stroke-length') - length)).toBeLessThan(0.006);
      expect(answer.messages.map((m) => m.about.code)).toContain('stroke-length');
    }
  });
});
