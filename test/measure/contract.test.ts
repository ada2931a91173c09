/** What may be sent, and that everything that comes out may be sent on. */
import { describe, expect, test } from 'vitest';
import { MeasurementsAnswer } from '../../src/contract/measurements.ts';
import { RawData } from '../../src/contract/raw-data.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { checkVocabulary } from '../../src/knowledge/vocabulary.ts';
import { measure } from '../../src/measure/measure.ts';
import { measured, ruleSet } from './front-crawl.ts';
import { marksOf, STEADY } from './swimmer.ts';

const issues = (raw: unknown): [string, unknown, string][] =>
  (RawData.safeParse(raw).error?.issues ?? []).map((i) => [
    `/${i.path.join('/')}`,
    i.code === 'custom' ? i.params?.code : i.code,
    i.message,
  ]);

describe('a frame rate is never guessed', () => {
  test.each([
    ['events', { events: [{ arm: 'left', kind: 'entry', frame: 63 }] }],
    [
      'positions',
      { positions: { point: 'hip', samples: [1, 2].map((frame) => ({ frame, metres: frame })) } },
    ],
    ['landmarks', { landmarks: { view: 'side-under', unit: 'px', points: { crown: [[1, 2]] } } }],
  ])('%s in frames without it', (what, raw) => {
    expect(issues(raw)).toEqual([
      ['/frameRate', 'required', expect.stringContaining(`${what} count frames`)],
    ]);
    expect(issues({ ...raw, frameRate: 50 })).toEqual([]);
  });

  test('times need none', () => {
    expect(issues({ events: [{ arm: 'left', kind: 'entry', time: 1.26 }] })).toEqual([]);
  });
});

describe('half-given and contradicting fields are named by their place', () => {
  test.each([
    ['no moment', { events: [{ arm: 'left', kind: 'entry' }] }, '/events/0', 'required'],
    [
      'time and frame',
      { frameRate: 50, events: [{ arm: 'left', kind: 'exit', time: 1, frame: 50 }] },
      '/events/0/frame',
      'not-allowed',
    ],
    ['no distance', { lengths: [{ seconds: 22 }] }, '/lengths/0', 'required'],
    [
      'metres and yards',
      { lengths: [{ metres: 25, yards: 25, seconds: 22 }] },
      '/lengths/0/yards',
      'not-allowed',
    ],
    [
      'push-off without time',
      { lengths: [{ metres: 25, seconds: 22, pushOffMetres: 5 }] },
      '/lengths/0/pushOffSeconds',
      'required',
    ],
    [
      'push-off without distance',
      { lengths: [{ metres: 25, seconds: 22, pushOffSeconds: 2 }] },
      '/lengths/0/pushOffMetres',
      'required',
    ],
    [
      'push-off longer than the length',
      { lengths: [{ metres: 15, seconds: 22, pushOffMetres: 16, pushOffSeconds: 2 }] },
      '/lengths/0/pushOffMetres',
      'too-big',
    ],
    [
      'push-off longer than the time',
      { lengths: [{ yards: 25, seconds: 20, pushOffYards: 5, pushOffSeconds: 20 }] },
      '/lengths/0/pushOffSeconds',
      'too-big',
    ],
    [
      'splits that fall',
      { timedSwims: [{ metres: 100, seconds: 60, splits: [30, 30] }] },
      '/timedSwims/0/splits/1',
      'out-of-order',
    ],
    [
      'splits that end elsewhere',
      { timedSwims: [{ metres: 100, seconds: 60, splits: [29, 61] }] },
      '/timedSwims/0/splits/1',
      'not-allowed',
    ],
  ])('%s', (_, raw, pointer, code) => {
    expect(issues(raw).map(([p, c]) => [p, c])).toContainEqual([pointer, code]);
  });

  test.each([
    ['an unknown field', { frameRates: 50 }],
    ['an unknown field of an event', { events: [{ arm: 'left', kind: 'entry', time: 1, note: 'x' }] }],
    ['an unknown arm', { events: [{ arm: 'both', kind: 'entry', time: 1 }] }],
    ['a negative time', { events: [{ arm: 'left', kind: 'entry', time: -1 }] }],
    ['a time that is no number', { events: [{ arm: 'left', kind: 'entry', time: Number.NaN }] }],
    ['a count of half a stroke', { lengths: [{ metres: 25, seconds: 22, armStrokes: 10.5 }] }],
  ])('%s is refused', (_, raw) => {
    expect(issues(raw)).not.toEqual([]);
  });
});

/** Everything but landmarks at once. */
const ALL = {
  frameRate: 50,
  events: marksOf(STEADY).map(({ time, ...m }) => ({ ...m, frame: Math.round(time * 50) })),
  lengths: [20, 21].map((armStrokes) => ({
    metres: 25,
    seconds: 20.6,
    armStrokes,
    pushOffMetres: 5,
    pushOffSeconds: 2.6,
  })),
  timedSwims: [
    { metres: 200, seconds: 182, splits: [43, 89, 136, 182] },
    {
      metres: 400,
      seconds: 384,
      splits: [88, 186, 285, 384].flatMap((t, i, all) => [((all[i - 1] ?? 0) + t) / 2, t]),
    },
    { kind: 'kick', metres: 25, seconds: 52 },
  ],
  whatIf: [{ change: 'resistance', percent: -5 }],
  swimmer: { armLengthM: 0.74 },
};

describe('what comes out', () => {
  const answer = measured(ALL);

  test('follows the contract: side, unit, standard deviation and derivation are always there', () => {
    const { name, version } = ruleSet.manifest;
    const whole = { ruleSet: { name, version, digest: ruleSet.digest }, ...answer };
    expect(MeasurementsAnswer.safeParse(JSON.parse(JSON.stringify(whole))).error).toBeUndefined();
    expect(answer.measurements.length).toBeGreaterThan(35);
  });

  test('every derivation names inputs, formula and source', () => {
    for (const m of answer.measurements)
      for (const field of ['inputs', 'formula', 'source'])
        expect(m.derivation[field], `${m.code}: ${field}`).toMatch(/\w{3}/);
  });

  test('is a set of measurements that an assessment accepts: known codes, units, sides, possible values', () => {
    const request = { swimmer: { level: 'novice' }, measurements: answer.measurements };
    expect(AssessmentRequest.safeParse(JSON.parse(JSON.stringify(request))).error).toBeUndefined();
    expect(checkVocabulary(request, ruleSet)).toEqual([]);
    for (const m of answer.measurements) expect(m.unit).toBe(ruleSet.measurements.get(m.code)?.unit);
    for (const m of answer.measurements)
      if (ruleSet.measurements.get(m.code)?.sided && !m.code.endsWith('asymmetry'))
        expect(m.side).not.toBe('body');
  });

  test('is given once per code and side', () => {
    const once = answer.measurements.filter((m) => m.code !== 'second-half-change');
    expect(new Set(once.map((m) => `${m.code}|${m.side}`)).size).toBe(once.length);
  });

  test('every standard deviation is a positive number', () => {
    for (const m of answer.measurements) expect(m.standardDeviation, m.code).toBeGreaterThan(0);
  });

  test('lists of a long film stay within what the contract allows', () => {
    const long = measured({ events: marksOf({ ...STEADY, cycles: 260 }) });
    const request = { swimmer: { level: 'novice' }, measurements: long.measurements };
    expect(AssessmentRequest.safeParse(request).error).toBeUndefined();
  });

  test('a code that the rule set does not know is left out', () => {
    const fewer = new Map([...ruleSet.measurements].filter(([code]) => code !== 'cycle-time'));
    const codes = measure(RawData.parse(ALL), { ...ruleSet, measurements: fewer }).measurements.map(
      (m) => m.code,
    );
    expect(codes).not.toContain('cycle-time');
    expect(codes).toHaveLength(answer.measurements.length - 1);
  });

  test('is the same every time and leaves its input alone', () => {
    const frozen = structuredClone(ALL);
    const deepFreeze = (value: object): object => {
      for (const part of Object.values(value))
        if (part !== null && typeof part === 'object') deepFreeze(part);
      return Object.freeze(value);
    };
    expect(measured(deepFreeze(frozen))).toEqual(answer);
  });
});
