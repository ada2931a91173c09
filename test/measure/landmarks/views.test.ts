/** What a view can show, and what is refused because it cannot: in one sentence, with the views that would. */
import { describe, expect, test } from 'vitest';
import { viewsFor } from '../../../src/measure/landmarks/notes.ts';
import type { LandmarkView } from '../../../src/measure/landmarks/types.ts';
import { VIEWS } from '../../forward-model/figures.ts';
import type { View } from '../../forward-model/film.ts';
import { measured, ruleSet } from '../front-crawl.ts';
import { answerOf, clipOf, noteCodes } from './films.ts';

/** From the definitions of the rule set: which cameras lie square to which angle or length. */
const SHOWN: Readonly<Record<View, readonly string[]>> = {
  'side-under': [
    'trunk-incline',
    'hip-depth',
    'neck-extension',
    'head-lift',
    'exit-past-hip',
    'hand-depth-max',
    'forearm-pitch-at-catch',
    'forearm-from-vertical-mid',
    'kick-amplitude',
    'kick-beats',
    'knee-bend',
    'heel-depth',
  ],
  'side-above': ['head-lift', 'entry-reach'],
  'front-under': [
    'shoulder-roll',
    'hip-roll',
    'roll-asymmetry',
    'entry-offset',
    'hand-offset-mid',
    'forearm-from-vertical-mid',
    'elbow-angle-mid',
  ],
  rear: ['hip-sway', 'shoulder-roll', 'hip-roll', 'roll-asymmetry', 'kick-beats'],
  overhead: ['hip-sway', 'entry-offset', 'reach-offset', 'recovery-width'],
  '3d': [],
};

describe.each(VIEWS.filter((v) => v !== '3d'))('%s', (view) => {
  const answers = [1, 2, 3, 4, 5, 6].map((seed) => answerOf(clipOf(view, seed).film, { series: true }));

  test('gives only what it can show', () => {
    for (const answer of answers)
      for (const { code } of answer.measurements) expect(SHOWN[view]).toContain(code);
  });

  test('refuses the rest in one note, each under a view that shows it', () => {
    for (const answer of answers) {
      const refusals = answer.notes.filter((n) => n.code === 'view-cannot-show');
      expect(refusals).toHaveLength(1);
      const { quantities = [], better = [] } = refusals[0]!;
      for (const code of quantities) expect(SHOWN[view]).not.toContain(code);
      expect(better.flatMap((b) => b.codes).sort()).toEqual([...quantities].sort());
      for (const { view: other, codes } of better)
        if (other !== '3d') for (const code of codes) expect(SHOWN[other], code).toContain(code);
    }
  });

  test('no angle out of its plane stands in the series', () => {
    const sideways = ['trunk-incline', 'neck-extension', 'forearm-pitch', 'knee-bend'];
    const endOn = ['shoulder-roll', 'hip-roll', 'elbow-angle'];
    const allowed = view.startsWith('side') ? sideways : view === 'overhead' ? [] : endOn;
    for (const { series } of answers)
      for (const name of Object.keys(series)) expect(allowed).toContain(name.replace(/^(left|right)-/, ''));
  });
});

test('points in space give every quantity that any film gives', () => {
  const all = new Set(VIEWS.flatMap((v) => SHOWN[v]));
  const found = new Set(
    [1, 2, 3, 4].flatMap((seed) => answerOf(clipOf('3d', seed).film).measurements.map((m) => m.code)),
  );
  for (const code of all) expect(found).toContain(code);
  expect(found).toContain('extension-elbow');
});

test('the fewest views are named, the ones that show most first', () => {
  const of = (code: string, ...views: LandmarkView[]) => ({ code, views });
  expect(
    viewsFor([
      of('a', 'front-under', 'rear', '3d'),
      of('b', 'overhead', 'front-under', '3d'),
      of('c', 'overhead', '3d'),
      of('d', '3d'),
    ]),
  ).toEqual([
    { view: 'front-under', codes: ['a', 'b'] },
    { view: 'overhead', codes: ['c'] },
    { view: '3d', codes: ['d'] },
  ]);
});

describe('in words', () => {
  const { film, frameRate } = clipOf('side-under', 2);
  const answer = measured({ frameRate, landmarks: film });

  test('one sentence for each view that would show more, with the labels of the rule set', () => {
    const texts = answer.messages.filter((m) => m.code === 'view-cannot-show').map((m) => m.text);
    expect(texts).toHaveLength(1);
    expect(texts[0]).toContain('From the side under water');
    expect(texts[0]).toContain('From the front under water: for "Shoulder roll"');
    expect(texts[0]).toContain('From above the swimmer: for');
    expect(texts[0]).toContain('Only as points in three dimensions: for "Elbow angle at reach"');
  });

  test('nothing is left unfilled, and no code or list in brackets is shown', () => {
    for (const view of VIEWS) {
      const clip = clipOf(view, 3);
      for (const { text } of measured({ frameRate: 60, landmarks: clip.film }).messages)
        expect(text).not.toMatch(/[{}[\]]|undefined|NaN/);
    }
  });

  test('every quantity has a label in the rule set and its unit there', () => {
    for (const seed of [1, 2, 3])
      for (const m of answerOf(clipOf('3d', seed).film).measurements) {
        expect(ruleSet.texts.measurements[m.code]?.label, m.code).toBeTruthy();
        expect(ruleSet.measurements.get(m.code)?.unit).toBe(m.unit);
      }
  });
});

describe('what a quantity still needs is said', () => {
  const side = clipOf('side-under', 5).film;
  const above = clipOf('overhead', 5).film;
  const { waterlineY: _, ...dry } = side;
  const { entryFrames: __, ...unmarked } = above;
  test.each([
    ['the water surface', 'waterline-needed', answerOf(dry), 'hip-depth'],
    ['the frames of entry from overhead', 'entry-needed', answerOf(unmarked), 'entry-offset'],
  ])('%s', (_what, code, answer, quantity) => {
    expect(answer.notes.find((n) => n.code === code)?.quantities).toContain(quantity);
    expect(answer.measurements.map((m) => m.code)).not.toContain(quantity);
  });

  test('the arm length for the reach, where only the picture is there', () => {
    const { film } = clipOf('side-above', 5);
    expect(noteCodes(answerOf(film, { armLengthM: undefined }))).toContain('arm-length-needed');
    expect(noteCodes(answerOf(film))).not.toContain('arm-length-needed');
  });
});
