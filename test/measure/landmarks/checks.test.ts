/** What is looked at before anything is measured: the way of swimming, sides, scale, segment lengths, frame rate. */
import { describe, expect, test } from 'vitest';
import { measureLandmarks } from '../../../src/measure/landmarks/landmarks.ts';
import type { LandmarkNote, LandmarksInput } from '../../../src/measure/landmarks/types.ts';
import { random } from '../../forward-model/random.ts';
import { answerOf, clipOf, lineOf, mapped, noteCodes, withOnly } from './films.ts';

describe('faults that stop the measuring: nothing comes out but the reason', () => {
  const side = clipOf('side-under', 3).film;
  const other = side.heading === 'left' ? ('right' as const) : ('left' as const);
  const space = clipOf('3d', 3).film;
  const cut = { ...side.points, crown: side.points.crown!.slice(1) };
  test.each<[string, string, LandmarksInput]>([
    ['a heading against the body', 'heading-wrong', { ...side, heading: other }],
    ['pixels in three dimensions', 'px-in-3d', { ...space, unit: 'px' }],
    ['lists of different length', 'point-lists-differ', { ...side, points: cut }],
    ['no points', 'no-orientation', { ...side, heading: undefined, points: {} }],
  ])('%s', (_, code, film) => {
    const answer = answerOf(film);
    expect(answer.measurements).toEqual([]);
    expect(answer.notes).toEqual([{ severity: 'warning', code, about: { view: film.view }, values: {} }]);
  });

  test.each([0, -50, Number.NaN, Number.POSITIVE_INFINITY])(
    'a frame rate of %d is never guessed',
    (frameRate) => {
      expect(() => measureLandmarks(side, { frameRate, series: false })).toThrow(RangeError);
    },
  );

  test('the heading is found from head end and hips when it is left out', () => {
    const { heading: _, ...film } = side;
    expect(answerOf(film)).toEqual(answerOf(side));
  });
});

const warnings = (film: LandmarksInput, frameRate = 60): LandmarkNote[] =>
  answerOf(film, { frameRate }).notes.filter((n) => n.severity === 'warning');

test('a sound film has no warning, in any view', () => {
  for (const view of ['side-under', 'side-above', 'front-under', 'rear', 'overhead', '3d'] as const)
    for (const seed of [1, 2, 3]) expect(warnings(clipOf(view, seed).film), `${view} ${seed}`).toEqual([]);
});

describe('segment lengths', () => {
  const { film } = clipOf('3d', 8);
  /** The upper arm of the left stretched and shrunk by a share of its length, at random. */
  const noisy = (share: number): LandmarksInput => {
    const r = random(17);
    const elbow = film.points['left-elbow']!.map((p, i) => {
      const s = film.points['left-shoulder']![i];
      if (p === null || s === null || s === undefined) return null;
      const k = 1 + r.normal(share);
      return [0, 1, 2].map((a) => s[a]! + k * (p[a]! - s[a]!)) as unknown as [number, number, number];
    });
    return { ...film, points: { ...film.points, 'left-elbow': elbow } };
  };
  const arms = (share: number): LandmarkNote[] =>
    warnings(noisy(share)).filter((n) => n.values?.segment === 'left-upper-arm');

  test.each([0.01, 0.025, 0.04])('that vary by a share of %d are accepted', (share) => {
    expect(arms(share)).toEqual([]);
  });

  test.each([0.07, 0.15])('that vary by a share of %d are flagged with the share', (share) => {
    const [note] = arms(share);
    expect(note).toMatchObject({ code: 'segment-length-varies', about: { view: '3d' } });
    expect(Math.abs(Number(note!.values!.percent) - 100 * share)).toBeLessThan(2);
  });
});

describe('a picture in which the swimmer comes nearer', () => {
  const still = clipOf('front-under', 20).film;
  /** Every frame larger than the one before, about the middle of the picture: 30 % over the film. */
  const frames = still.points.crown!.length;
  const growing: LandmarksInput = {
    ...still,
    points: Object.fromEntries(
      Object.entries(still.points).map(([name, list]) => [
        name,
        list.map((p, i): [number, number] | null => {
          const k = 1 / (1 - (0.3 * i) / frames);
          return p === null ? null : [960 + k * (p[0] - 960), 540 + k * (p[1] - 540)];
        }),
      ]),
    ),
  };

  test('has no one scale: lengths are left out, angles stay, and the change is said', () => {
    const answer = answerOf(growing);
    expect(noteCodes(answer)).toContain('size-changes');
    expect(answer.measurements.map((m) => m.code)).not.toContain('hand-offset-mid');
    const own = lineOf(answerOf(still), 'hip-roll', 'left');
    expect(Math.abs(lineOf(answer, 'hip-roll', 'left').value - own.value)).toBeLessThan(
      own.standardDeviation,
    );
  });
});

describe('calibration by two points', () => {
  const { film } = clipOf('side-under', 6);
  const { pixelsPerMetre, ...bare } = film;
  const frames = film.points.crown!.length;
  const rod = (length: number) => ({
    'rod-a': Array.from({ length: frames }, () => [100, 100] as const),
    'rod-b': Array.from({ length: frames }, () => [100 + length, 100] as const),
  });

  test('gives what the scale gives', () => {
    const points = { ...film.points, ...rod(2 * pixelsPerMetre!) };
    const calibrated = answerOf({ ...bare, points, calibration: { from: 'rod-a', to: 'rod-b', metres: 2 } });
    const own = answerOf(film);
    for (const code of ['hip-depth', 'kick-amplitude'])
      expect(lineOf(calibrated, code).value).toBeCloseTo(lineOf(own, code).value, 6);
  });

  test('with points that are not there is said, and lengths are left out', () => {
    const answer = answerOf({ ...bare, calibration: { from: 'rod-a', to: 'rod-b', metres: 2 } });
    expect(noteCodes(answer)).toContain('calibration-missing');
    expect(noteCodes(answer)).toContain('scale-needed');
  });

  test('by a body segment is less sure than by a rod', () => {
    const body = { from: 'left-knee', to: 'left-ankle', metres: 0.43 };
    const by = (calibration: NonNullable<LandmarksInput['calibration']>, points: LandmarksInput['points']) =>
      answerOf({ ...bare, points, calibration }).measurements.find((m) => m.code === 'kick-amplitude')!;
    const [segment, rule] = [
      by(body, film.points),
      by({ from: 'rod-a', to: 'rod-b', metres: 2 }, { ...film.points, ...rod(2 * pixelsPerMetre!) }),
    ];
    expect(segment.standardDeviation / segment.value).toBeGreaterThan(rule.standardDeviation / rule.value);
  });
});

test('entries marked after the end of the film are named and left out', () => {
  const { film } = clipOf('overhead', 5);
  const frames = film.points.crown!.length;
  const marked = { left: [...film.entryFrames!.left, frames, frames + 40], right: film.entryFrames!.right };
  const answer = answerOf({ ...film, entryFrames: marked });
  expect(warnings({ ...film, entryFrames: marked })).toMatchObject([
    { code: 'entries-outside-film', values: { frames: `${frames}, ${frames + 40}` } },
  ]);
  expect(lineOf(answer, 'entry-offset', 'left')).toEqual(lineOf(answerOf(film), 'entry-offset', 'left'));
});

test('a low frame rate is said', () => {
  const { film } = clipOf('side-under', 4, 15);
  expect(warnings(film, 15)).toMatchObject([{ code: 'frame-rate-low', values: { rate: '15' } }]);
});

test('joint points that lie on each other make no angle and no error', () => {
  const { film } = clipOf('3d', 4);
  const points = mapped(
    withOnly(film.points, (name) => /shoulder|elbow|wrist|hand/.test(name)),
    () => [1, 1, 1],
  );
  const answer = answerOf({ ...film, points }, { series: true });
  expect(answer.measurements).toEqual([]);
  expect(Object.keys(answer.series).filter((name) => name.includes('elbow'))).toEqual([]);
});
