/**
 * Large and hostile data. A time that grew with the square of the frames would run into the limit of the test runner; no
 * other promise of speed is made here.
 */
import { expect, test } from 'vitest';
import { tops } from '../../../src/measure/landmarks/extremum.ts';
import type { Coordinate } from '../../../src/measure/landmarks/types.ts';
import { measured } from '../front-crawl.ts';
import { answerOf, withOnly } from './films.ts';

const NAMES = ['shoulder', 'elbow', 'wrist', 'hand', 'hip', 'knee', 'ankle', 'heel', 'eye']
  .flatMap((part) => [`left-${part}`, `right-${part}`])
  .concat('crown', 'chin', 'seat');

const film = (frames: number, at: (point: number, frame: number) => Coordinate) =>
  Object.fromEntries(
    NAMES.map((name, k) => [name, Array.from({ length: frames }, (_, i): Coordinate => at(k, i))]),
  );

test('a megabyte of points in space is answered', () => {
  const points = film(2700, (k, i) => {
    const turn = (2 * Math.PI * i) / 75 + (k % 2) * Math.PI;
    return [
      Math.round(20 * i + 600 * Math.cos(turn) - 30 * k),
      Math.round((k % 2 === 0 ? 200 : -200) + 50 * Math.sin(turn)),
      Math.round(500 * Math.sin(turn) - 100),
    ];
  });
  const raw = { frameRate: 50, landmarks: { view: '3d', unit: 'mm', waterlineY: 0, points } };
  expect(JSON.stringify(raw).length).toBeGreaterThan(900_000);
  expect(measured(raw).measurements.length).toBeGreaterThan(5);
});

const HOSTILE: readonly [string, number, (k: number, i: number) => Coordinate][] = [
  ['a ramp', 1, (k, i) => [i, i + k, i - k]],
  ['stillness', 60, (k) => [k, 1, 2]],
  ['a saw', 1000, (k, i) => [(i % 7) + k, i % 5, i % 3]],
  ['noise', 119, (k, i) => [Math.sin(i * 12.9 + k), Math.sin(i * 78.2 + k), Math.sin(i * 3.7 + k)]],
];

test.each(HOSTILE)(
  '%s at %d frames a second, 20 000 frames, is answered with finite numbers',
  (_, frameRate, at) => {
    const points = withOnly(film(20_000, at), (name) => /hip|shoulder|elbow|wrist|hand/.test(name));
    const answer = answerOf({ view: '3d', unit: 'm', waterlineY: 0, points }, { frameRate });
    for (const { value, standardDeviation } of answer.measurements) {
      expect(Number.isFinite(value)).toBe(true);
      expect(Number.isFinite(standardDeviation)).toBe(true);
    }
  },
);

test('the search for tops reads each sample a few times, whatever the distance between tops', () => {
  const readsOf = (radius: number): number => {
    let reads = 0;
    const values = new Proxy(
      Array.from({ length: 4000 }, (_, i) => i),
      {
        get: (list, key, self) => {
          if (typeof key === 'string' && /^\d+$/.test(key)) reads++;
          return Reflect.get(list, key, self);
        },
      },
    );
    tops(values, radius);
    return reads;
  };
  expect(readsOf(1000)).toBeLessThan(2 * readsOf(4));
});
