/** What must not change a measurement of body points: names of the sides, origin, unit, scale, time of the samples, order. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Arm, LandmarksAnswer, LandmarksInput } from '../../../src/measure/landmarks/types.ts';
import { VIEWS } from '../../forward-model/figures.ts';
import type { View } from '../../forward-model/film.ts';
import { answerOf, clipOf, type Line, linesOf, mapped, noteCodes, type Points } from './films.ts';

const RUNS = { numRuns: 12 };
const seeds = fc.integer({ min: 1, max: 5000 });
const cases = fc.record({ view: fc.constantFrom(...VIEWS), seed: seeds });

/** Same measurements, values and standard deviations, but for rounding. */
function alike(one: LandmarksAnswer, two: LandmarksAnswer): void {
  const [a, b] = [linesOf(one), linesOf(two)];
  expect(b.map((l) => l.key)).toEqual(a.map((l) => l.key));
  a.forEach(({ key, value, standardDeviation }, i) => {
    expect(b[i]!.value, key).toBeCloseTo(value, 5);
    expect(b[i]!.standardDeviation, key).toBeCloseTo(standardDeviation, 5);
  });
  expect(noteCodes(two)).toEqual(noteCodes(one));
}

const other = (side: Arm): Arm => (side === 'left' ? 'right' : 'left');
const renamed = (name: string): string => name.replace(/^(left|right)-/, (_, side: Arm) => `${other(side)}-`);

/** The mirrored film: left becomes right in names, and the picture is turned about the swimmer's long axis. */
function mirrored(film: LandmarksInput): LandmarksInput {
  const flip = (point: readonly number[]): number[] => {
    if (film.view === '3d') return [point[0]!, -point[1]!, point[2]!];
    // the swimmer swims the other way from the side; from above left and right change places across the swimming direction
    if (film.view === 'overhead') return [point[0]!, -point[1]!];
    return [-point[0]!, point[1]!];
  };
  const points = Object.fromEntries(
    Object.entries(mapped(film.points, flip)).map(([name, list]) => [renamed(name), list]),
  );
  const { left, right } = film.entryFrames ?? {};
  const sideways = film.view === 'side-under' || film.view === 'side-above';
  return {
    ...film,
    points,
    ...(film.heading && sideways && { heading: other(film.heading) }),
    ...(film.nearSide && { nearSide: other(film.nearSide) }),
    ...(film.entryFrames && {
      entryFrames: { ...(right && { left: right }), ...(left && { right: left }) },
    }),
  };
}

describe('swapping left and right', () => {
  test('mirrors every measurement', () => {
    fc.assert(
      fc.property(cases, ({ view, seed }) => {
        const { film } = clipOf(view, seed);
        const own = linesOf(answerOf(film)).map(
          (l): Line => ({ ...l, key: l.key.replace(/left$|right$/, (s) => other(s as Arm)) }),
        );
        const turned = linesOf(answerOf(mirrored(film)));
        const sorted = own.sort((a, b) => (a.key < b.key ? -1 : 1));
        expect(turned.map((l) => l.key)).toEqual(sorted.map((l) => l.key));
        turned.forEach((line, i) => {
          expect(line.value, line.key).toBeCloseTo(sorted[i]!.value, 6);
          expect(line.standardDeviation, line.key).toBeCloseTo(sorted[i]!.standardDeviation, 6);
        });
      }),
      RUNS,
    );
  });

  test('is noticed when the names alone are swapped', () => {
    for (const view of ['front-under', 'overhead', '3d'] as const) {
      const { film } = clipOf(view, 3);
      const points = Object.fromEntries(
        Object.entries(film.points).map(([name, list]) => [renamed(name), list]),
      );
      const answer = answerOf({ ...film, points });
      expect(answer.measurements).toEqual([]);
      expect(noteCodes(answer)).toEqual(['sides-swapped']);
    }
  });
});

test('the origin of the axes does not matter', () => {
  fc.assert(
    fc.property(
      cases,
      fc.tuple(
        fc.integer({ min: -4000, max: 4000 }),
        fc.integer({ min: -4000, max: 4000 }),
        fc.integer({ min: -4000, max: 4000 }),
      ),
      ({ view, seed }, by) => {
        const { film } = clipOf(view, seed);
        const points = mapped(film.points, (p) => p.map((v, i) => v + by[i]!));
        const vertical = view === '3d' ? by[2] : by[1];
        const waterlineY = film.waterlineY === undefined ? {} : { waterlineY: film.waterlineY + vertical };
        alike(answerOf(film), answerOf({ ...film, points, ...waterlineY }));
      },
    ),
    RUNS,
  );
});

/** A 2D film in metres: y up, the picture's scale taken out. */
function inLengths(film: LandmarksInput, perMetre: number): LandmarksInput {
  const from = film.unit === 'px' ? film.pixelsPerMetre! : 1000;
  const up = film.unit === 'px' ? -1 : 1;
  const scaled = (v: number, flip: boolean): number => ((flip ? up : 1) * v * perMetre) / from;
  const { pixelsPerMetre: _, ...rest } = film;
  return {
    ...rest,
    unit: perMetre === 1 ? 'm' : 'mm',
    points: mapped(film.points, (p) => p.map((v, i) => scaled(v, i === 1 && film.view !== '3d'))),
    ...(film.waterlineY !== undefined && { waterlineY: scaled(film.waterlineY, film.view !== '3d') }),
  };
}

test('metres, millimetres and pixels give the same', () => {
  fc.assert(
    fc.property(cases, ({ view, seed }) => {
      const { film } = clipOf(view, seed);
      alike(answerOf(film), answerOf(inLengths(film, 1)));
      alike(answerOf(film), answerOf(inLengths(film, 1000)));
    }),
    RUNS,
  );
});

test('a larger picture of the same swimmer gives the same', () => {
  fc.assert(
    fc.property(cases, fc.double({ min: 0.2, max: 5, noNaN: true }), ({ view, seed }, times) => {
      fc.pre(view !== '3d');
      const { film } = clipOf(view, seed);
      alike(
        answerOf(film),
        answerOf({
          ...film,
          pixelsPerMetre: film.pixelsPerMetre! * times,
          points: mapped(film.points, (p) => p.map((v) => v * times)),
          ...(film.waterlineY !== undefined && { waterlineY: film.waterlineY * times }),
        }),
      );
    }),
    RUNS,
  );
});

test('angles need no scale: without one they stay, and lengths are left out with the reason', () => {
  const ANGLES = [
    'trunk-incline',
    'neck-extension',
    'knee-bend',
    'forearm-from-vertical-mid',
    'shoulder-roll',
    'hip-roll',
  ];
  fc.assert(
    fc.property(fc.constantFrom<View>('side-under', 'front-under'), seeds, (view, seed) => {
      const { film } = clipOf(view, seed);
      const { pixelsPerMetre: _, ...bare } = film;
      const [known, unknown] = [answerOf(film), answerOf(bare)];
      expect(noteCodes(unknown)).toContain('scale-needed');
      for (const line of linesOf(unknown)) expect(line.key).not.toMatch(/depth|amplitude|offset|past-hip/);
      for (const { key, value } of linesOf(known).filter((l) => ANGLES.includes(l.key.split('|')[0]!))) {
        const same = linesOf(unknown).find((l) => l.key === key);
        expect(same?.value, key).toBeCloseTo(value, 1);
      }
    }),
    RUNS,
  );
});

/**
 * The same swim, camera and noise-free points at another frame rate. Moments fall between other frames then, so values agree
 * as two films of one swim do: within 1.96 sqrt(2) standard deviations.
 */
test('the frame rate does not matter: a resampled film gives the same within the error of two films', () => {
  const exact = { noiseM: 1e-6, missing: 0, cameraError: 0 };
  fc.assert(
    fc.property(cases, fc.constantFrom(50, 100, 120), ({ view, seed }, rate) => {
      const every = clipOf(view, seed, 600, exact);
      const at = (frameRate: number): LandmarksAnswer => {
        const step = 600 / frameRate;
        const points: Points = Object.fromEntries(
          Object.entries(every.film.points).map(([name, list]) => [
            name,
            list.filter((_, i) => i % step === 0),
          ]),
        );
        const frames = (list: readonly number[] | undefined) => list?.map((f) => Math.ceil(f / step));
        const { left, right } = every.film.entryFrames ?? {};
        const marks = every.film.entryFrames && {
          entryFrames: { left: frames(left)!, right: frames(right)! },
        };
        return answerOf({ ...every.film, points, ...marks }, { frameRate });
      };
      const [one, two] = [linesOf(at(60)), linesOf(at(rate))];
      const shared = one.filter((l) => two.some((t) => t.key === l.key));
      expect(shared.length).toBeGreaterThan(0.8 * Math.max(one.length, two.length));
      for (const { key, value, standardDeviation } of shared) {
        const again = two.find((t) => t.key === key)!;
        expect(Math.abs(again.value - value), `${view} ${key}`).toBeLessThan(
          1.96 * Math.SQRT2 * standardDeviation,
        );
      }
    }),
    RUNS,
  );
});

test('the order of the points does not matter, and further points change nothing', () => {
  fc.assert(
    fc.property(cases, ({ view, seed }) => {
      const { film } = clipOf(view, seed);
      const turned = Object.fromEntries(Object.entries(film.points).reverse());
      const answer = answerOf(film);
      expect(answerOf({ ...film, points: turned })).toEqual(answer);
      const frames = film.points.crown!.length;
      const buoy = Array.from({ length: frames }, (): Points[string][number] =>
        view === '3d' ? [1, 2, 3] : [900, 500],
      );
      if (view !== 'front-under' && view !== 'rear')
        expect(answerOf({ ...film, points: { ...film.points, buoy } })).toEqual(answer);
    }),
    RUNS,
  );
});
