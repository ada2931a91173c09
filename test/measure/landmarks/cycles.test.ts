/** Cycles: found whole, not halved by a harmonic and not doubled by a variation; kicks counted per cycle. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { autocorrelation, periodOf } from '../../../src/measure/landmarks/period.ts';
import { drawBuild } from '../../forward-model/build.ts';
import { VIEWS } from '../../forward-model/figures.ts';
import { filmOf } from '../../forward-model/film.ts';
import { random } from '../../forward-model/random.ts';
import { answerOf, clipOf, lineOf, noteCodes, withOnly } from './films.ts';

const RATE = 50;
const TURN = 2 * Math.PI;
const samples = (count: number, at: (i: number) => number): number[] =>
  Array.from({ length: count }, (_, i) => at(i));

describe('the cycle of a movement', () => {
  test.each([2, 3, 4])('is not halved by a harmonic of order %d three times as strong', (order) => {
    fc.assert(
      fc.property(
        fc.integer({ min: 45, max: 140 }),
        fc.double({ min: 0, max: TURN, noNaN: true }),
        (period, shift) => {
          const values = samples(
            4 * period,
            (i) => Math.sin((TURN * i) / period) + 3 * Math.sin((TURN * order * i) / period + shift),
          );
          expect(periodOf([values], RATE)!).toBeCloseTo(period, 0);
        },
      ),
    );
  });

  test('is not doubled when the cycles differ', () => {
    const r = random(5);
    const phases = [0];
    while (phases.length < 500) phases.push(phases.at(-1)! + (1 + r.normal(0.15)) / 75);
    const values = phases.map((p) => Math.sin(TURN * p) + 0.5 * Math.cos(2 * TURN * p) + r.normal(0.1));
    expect(periodOf([values], RATE)! / 75).toBeGreaterThan(0.94);
    expect(periodOf([values], RATE)! / 75).toBeLessThan(1.06);
  });

  test('is found across gaps', () => {
    const values = samples(400, (i) => (i % 11 < 3 ? Number.NaN : Math.sin((TURN * i) / 80)));
    expect(periodOf([values], RATE)!).toBeCloseTo(80, 0);
  });

  test.each([
    ['stillness', samples(300, () => 2)],
    ['a straight way', samples(300, (i) => i / 10)],
    [
      'noise',
      samples(
        300,
        (() => {
          const r = random(3);
          return () => r.normal(1);
        })(),
      ),
    ],
    ['less than one and a half cycles', samples(130, (i) => Math.sin((TURN * i) / 90))],
    ['nothing', samples(300, () => Number.NaN)],
    ['no samples', []],
  ])('%s has none', (_, values) => {
    expect(periodOf([values], RATE)).toBeUndefined();
  });

  test('high-speed film is read at its own rate', () => {
    const values = samples(6000, (i) => Math.sin((TURN * i) / 1500));
    expect(periodOf([values], 1000)! / 1500).toBeCloseTo(1, 2);
  });

  test('correlation is 1 after a whole cycle and -1 after half', () => {
    const values = samples(400, (i) => Math.sin((TURN * i) / 80));
    expect(autocorrelation([values], 80)).toBeCloseTo(1, 6);
    expect(autocorrelation([values], 40)).toBeCloseTo(-1, 6);
    expect(autocorrelation([values], 399)).toBeNaN();
  });
});

describe('the cycle of a film', () => {
  test.each(VIEWS)('%s: within 8 %% of the swimmer for 40 swimmers', (view) => {
    for (let seed = 1; seed <= 40; seed++) {
      const { film, build } = clipOf(view, seed);
      const [first] = answerOf(film).measurements;
      expect(
        Math.abs((first!.derivation.cycleSeconds as number) / build.cycleS - 1),
        `seed ${seed}`,
      ).toBeLessThan(0.08);
    }
  });

  test('one cycle gives no quantity that needs cycles, and says so', () => {
    const quality = { noiseM: 0.004, missing: 0, cameraError: 1 };
    const { film } = filmOf(drawBuild(4), '3d', 0.6, 60, quality, 4);
    const answer = answerOf(film);
    expect(noteCodes(answer)).toContain('cycles-needed');
    expect(answer.measurements.map((m) => m.code)).not.toContain('shoulder-roll');
  });

  test('a value from one stroke says so, and is less sure than the mean of several', () => {
    const one = filmOf(drawBuild(4), '3d', 1.9, 60, { noiseM: 0.004, missing: 0, cameraError: 1 }, 4);
    const answer = answerOf(one.film);
    const note = answer.notes.find((n) => n.code === 'one-stroke');
    expect(note?.quantities).toContain('hip-sway');
    const more = lineOf(answerOf(clipOf('3d', 4).film), 'hip-sway');
    expect(lineOf(answer, 'hip-sway').standardDeviation).toBeGreaterThan(more.standardDeviation);
  });
});

describe('beats of the kick in a cycle', () => {
  test('2, 4 or 6 as the swimmer kicks, in 60 films from the side', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const { film, build } = clipOf('side-under', seed);
      const { value } = lineOf(answerOf(film), 'kick-beats');
      expect(Math.round(value), `seed ${seed}`).toBe(2 * build.kicks);
    }
  });

  test('feet that trail: no beats', () => {
    const { film } = clipOf('side-under', 7);
    const legs = /hip|shoulder|hand|elbow|wrist/;
    const ankle = film.points['left-hip']!.map((p) => (p === null ? null : ([p[0] + 250, 700] as const)));
    const points = {
      ...withOnly(film.points, (name) => legs.test(name)),
      'left-ankle': ankle,
      'right-ankle': ankle,
    };
    expect(lineOf(answerOf({ ...film, points }), 'kick-beats').value).toBe(0);
  });
});
