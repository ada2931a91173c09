/** A case that expects nothing would always hold, so it is refused. */
import { describe, expect, test } from 'vitest';
import { Case, checkCase } from '../../src/authoring/cases.ts';
import { shipped } from '../knowledge/shipped.ts';

const seenHigh: Case = {
  id: 'a-case',
  title: 'A high head',
  invented: true,
  because: 'it is seen',
  request: {
    swimmer: { level: 'novice' },
    health: { asked: true },
    recording: { views: ['side-under', 'side-above', 'front-under'], cycles: 4 },
    observations: [
      { code: 'head-held-high', severity: 3, certainty: 'sure', view: 'side-under' },
      { code: 'hips-low', severity: 2, certainty: 'sure', view: 'side-under' },
      { code: 'knee-bend-kick', severity: 0, certainty: 'sure', view: 'side-under' },
    ],
  },
  expect: { focus: ['head-high-habit'] },
};
const expecting = (expectation: Case['expect']): Case => ({ ...seenHigh, expect: expectation });

describe('an expectation', () => {
  test.each([
    'likely',
    'possible',
    'notLeading',
    'mechanisms',
    'anyOf',
    'beats',
    'drills',
    'noDrills',
    'excluded',
    'cautions',
    'noCautions',
    'restrictedParts',
    'findings',
    'loses',
    'principles',
    'messages',
  ])('of %s must name something', (field) => {
    const { error } = Case.safeParse({ ...seenHigh, expect: { [field]: [] } });
    expect(error?.issues.map((i) => [i.path, i.message])).toEqual([
      [['expect', field], 'must name something, or be left out'],
    ]);
  });

  test('must expect something', () => {
    expect(Case.safeParse({ ...seenHigh, expect: {} }).error?.issues[0]?.message).toBe(
      'must expect something',
    );
  });

  test('of an empty focus is met by no focus only', () => {
    expect(checkCase(seenHigh, shipped)).toEqual([]);
    expect(checkCase(expecting({ focus: [] }), shipped)).toEqual([
      expect.stringMatching(/^the focus is head-high-habit.*, expected none$/),
    ]);
    const nothing = { ...seenHigh.request, observations: [] };
    expect(checkCase({ ...expecting({ focus: [] }), request: nothing }, shipped)).toEqual([]);
  });

  test('of no line at all is met by none only', () => {
    expect(checkCase(expecting({ speaksFor: [] }), shipped)).not.toEqual([]);
  });
});
