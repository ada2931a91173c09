/** Points that were not seen: short gaps are bridged, long ones break a track, and nothing is made up. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fillShortGaps, SHORT_GAP_S } from '../../../src/measure/landmarks/gaps.ts';
import { trackOf } from '../../../src/measure/landmarks/smooth.ts';
import type { LandmarksInput } from '../../../src/measure/landmarks/types.ts';
import { answerOf, clipOf, lineOf, linesOf, noteCodes, type Points, withOnly } from './films.ts';

const RATE = 50;
const wave = (i: number): number => Math.sin((2 * Math.PI * i) / 75);
const series = Array.from({ length: 200 }, (_, i) => wave(i));
const without = (from: number, count: number): number[] =>
  series.map((v, i) => (i >= from && i < from + count ? Number.NaN : v));

describe('a gap in one coordinate', () => {
  test.each([1, 3, 5])(
    'of %d frames, a tenth of a second at most, is filled close to the movement',
    (count) => {
      const filled = fillShortGaps(without(70, count), RATE);
      filled.forEach((v, i) => {
        expect(v).toBeCloseTo(wave(i), 2);
      });
    },
  );

  test('of six frames, longer than a tenth of a second, stays', () => {
    expect(SHORT_GAP_S * RATE).toBe(5);
    const filled = fillShortGaps(without(70, 6), RATE);
    expect(filled.slice(70, 76).every(Number.isNaN)).toBe(true);
  });

  test.each([
    ['start', 0],
    ['end', 197],
  ])('at the %s stays, however short', (_, from) => {
    expect(
      fillShortGaps(without(from, 3), RATE)
        .slice(from, from + 3)
        .every(Number.isNaN),
    ).toBe(true);
  });

  test('samples that are there are never changed by filling, wherever the gaps are', () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 200, maxLength: 200 }), (lost) => {
        const holed = series.map((v, i) => (lost[i] ? Number.NaN : v));
        const filled = fillShortGaps(holed, RATE);
        holed.forEach((v, i) => {
          if (!Number.isNaN(v)) expect(filled[i]).toBe(v);
        });
      }),
    );
  });

  test('a stretch too short to filter is not smoothed', () => {
    const lonely = series.map((v, i) => (i >= 100 && i < 108 ? v : Number.NaN));
    const { raw, smooth, noise } = trackOf(lonely, RATE);
    expect(raw.filter(Number.isFinite)).toHaveLength(8);
    expect(smooth.every(Number.isNaN)).toBe(true);
    expect(noise).toBe(0);
  });
});

const losing = (points: Points, name: string, lost: (frame: number) => boolean): Points => ({
  ...points,
  [name]: points[name]!.map((p, i) => (lost(i) ? null : p)),
});

describe('a point of the body', () => {
  const { film } = clipOf('3d', 12);
  const whole = answerOf(film);

  test('lost for three frames in every second changes little', () => {
    const points = losing(film.points, 'left-elbow', (i) => i % 60 < 3);
    const { value, standardDeviation } = lineOf(whole, 'elbow-angle-mid', 'left');
    const holed = lineOf(answerOf({ ...film, points }), 'elbow-angle-mid', 'left');
    expect(Math.abs(holed.value - value)).toBeLessThan(standardDeviation);
  });

  test('that was never seen takes its quantities away, names the points, and leaves the other arm alone', () => {
    const gone = answerOf({ ...film, points: losing(film.points, 'left-elbow', () => true) });
    const keys = linesOf(gone).map((l) => l.key);
    expect(keys).not.toContain('elbow-angle-mid|left');
    expect(lineOf(gone, 'elbow-angle-mid', 'right').value).toBe(
      lineOf(whole, 'elbow-angle-mid', 'right').value,
    );
    expect(lineOf(gone, 'entry-offset', 'left')).toEqual(lineOf(whole, 'entry-offset', 'left'));
  });

  test('that is missing on both sides is named', () => {
    const points = withOnly(film.points, (name) => !name.endsWith('elbow'));
    const note = answerOf({ ...film, points }).notes.find((n) => n.quantities?.includes('elbow-angle-mid'));
    expect(note).toMatchObject({
      code: 'points-missing',
      severity: 'info',
      values: { points: 'left-elbow, right-elbow' },
    });
  });

  test('lost at every mid-pull of one arm: no angle is made up, and the side is said', () => {
    const hand = film.points['left-hand']!;
    const shoulder = film.points['left-shoulder']!;
    const below = (i: number): boolean => {
      const [h, s] = [hand[i], shoulder[i]];
      return h !== null && s !== null && h![2]! < s![2]! - 150 && Math.abs(h![0] - s![0]) < 350;
    };
    const answer = answerOf({ ...film, points: losing(film.points, 'left-elbow', below) });
    expect(linesOf(answer).map((l) => l.key)).not.toContain('elbow-angle-mid|left');
    expect(answer.notes).toContainEqual(
      expect.objectContaining({
        code: 'moment-not-found',
        about: expect.objectContaining({ side: 'left' }),
        quantities: expect.arrayContaining(['elbow-angle-mid']),
      }),
    );
  });
});

test('a film in which nothing was seen gives nothing and says that', () => {
  const nothing: LandmarksInput = {
    view: 'side-under',
    unit: 'px',
    points: { 'left-shoulder': Array.from({ length: 60 }, () => null) },
  };
  expect(answerOf(nothing).measurements).toEqual([]);
  expect(noteCodes(answerOf(nothing))).toEqual(['no-orientation']);
});

test('roll is not read from a film under water that loses the upper shoulder just at the peak', () => {
  const refused = Array.from({ length: 12 }, (_, i) => clipOf('front-under', i + 1).film)
    .map((film) => answerOf(film))
    .filter((a) => a.notes.some((n) => n.code === 'out-of-sight' && n.quantities?.includes('shoulder-roll')));
  expect(refused.length).toBeGreaterThan(6);
});

describe('rolls of 30 and 50 degrees, seen from the front', () => {
  const ROLLS = [50, 30, 50, 50, 30, 50, 50];
  const roll = (i: number): number =>
    ROLLS[Math.floor(i / 90)]! * (Math.PI / 180) * Math.sin((2 * Math.PI * i) / 90);
  const shoulders = (lostAbove: number): LandmarksInput => {
    const frames = Array.from({ length: 90 * ROLLS.length }, (_, i) => roll(i));
    const at = (out: 1 | -1, a: number): [number, number] => [
      0.17 * out * Math.cos(a),
      0.17 * out * Math.sin(a),
    ];
    return {
      view: 'front-under',
      unit: 'm',
      points: {
        'left-shoulder': frames.map((a) => (a * (180 / Math.PI) > lostAbove ? null : at(1, a))),
        'right-shoulder': frames.map((a) => at(-1, a)),
      },
    };
  };

  test('all in sight: their mean', () => {
    expect(lineOf(answerOf(shoulders(90)), 'shoulder-roll', 'left').value).toBeCloseTo(44.3, 0);
  });

  test('only the small ones in sight: no mean of those, but the reason', () => {
    const answer = answerOf(shoulders(35));
    expect(linesOf(answer).map((l) => l.key)).not.toContain('shoulder-roll|left');
    expect(answer.notes).toContainEqual(
      expect.objectContaining({ code: 'out-of-sight', about: expect.objectContaining({ side: 'left' }) }),
    );
    expect(lineOf(answer, 'shoulder-roll', 'right').value).toBeCloseTo(44.3, 0);
  });
});
