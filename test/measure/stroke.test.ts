import { describe, expect, test } from 'vitest';
import { found, measured, said, valueIn } from './front-crawl.ts';

const CLEAN = { metres: 25, seconds: 22, armStrokes: 20, pushOffMetres: 5, pushOffSeconds: 2.6 };
const entries = (cycle: number, n = 7) =>
  Array.from({ length: n }, (_, i) => ({ arm: 'left', kind: 'entry', time: cycle * i }));

describe('sources that fit together', () => {
  test('rate from marks and from the count agree: no message, the better one is given', () => {
    const answer = measured({ lengths: [CLEAN], events: entries(1.94) });
    expect(answer.messages).toEqual([]);
    expect(found(answer, 'stroke-rate')?.derivation.from).toBe('events');
    expect(found(answer, 'stroke-rate')?.derivation.fromLengths).toBeCloseTo(30.9278, 3);
    expect(answer.measurements.filter((m) => m.code === 'stroke-rate')).toHaveLength(1);
  });

  test('speed from lengths and rate from marks give the stroke length', () => {
    const { armStrokes: _, ...timed } = CLEAN;
    const answer = measured({ lengths: [timed], events: entries(1.94) });
    expect(valueIn(answer, 'stroke-length')).toBeCloseTo((20 / 19.4) * 1.94, 9);
    expect(found(answer, 'stroke-length')?.derivation.formula).toBe('60 x speed / rate');
  });
});

describe('sources that disagree are flagged and count as unsure', () => {
  test('a rate that is twice the other: arm strokes for cycles', () => {
    const answer = measured({ lengths: [{ ...CLEAN, strokeRate: 62 }] });
    expect(said(answer, 'strokes-or-cycles')?.text).toMatch(/Two arm strokes are one cycle/);
    expect(found(answer, 'stroke-rate')?.certainty).toBe('unsure');
  });

  test('a rate that is 10 % off', () => {
    const answer = measured({ lengths: [CLEAN], events: entries(1.75) });
    const message = said(answer, 'sources-disagree');
    expect(message).toMatchObject({ severity: 'warning', about: { code: 'stroke-rate' } });
    expect(message?.text).toMatch(
      /34\.29 cycles\/min from the events and 30\.93 cycles\/min from the lengths: 11 % apart/,
    );
    expect(found(answer, 'stroke-rate')?.certainty).toBe('unsure');
  });

  test('a speed from places that the clock does not confirm', () => {
    const events = Array.from({ length: 5 }, (_, i) => ({
      arm: 'right',
      kind: 'entry',
      time: 2 * i,
      metres: 2.4 * i,
    }));
    const answer = measured({ events, lengths: [{ metres: 15, seconds: 15, pushOffMetres: 0 }] });
    expect(said(answer, 'sources-disagree')?.about.code).toBe('swim-speed');
    expect(found(answer, 'swim-speed')?.certainty).toBe('unsure');
  });

  test('speed, rate and length that do not multiply', () => {
    // the count is of one length, the speed of all three
    const lengths = [
      { metres: 25, seconds: 25, pushOffMetres: 0 },
      { metres: 25, seconds: 25.2, armStrokes: 20, pushOffMetres: 0 },
      { metres: 25, seconds: 18, pushOffMetres: 0 },
    ];
    const answer = measured({ lengths });
    expect(said(answer, 'speed-rate-length-disagree')?.text).toMatch(
      /A rate of 23\.8 cycles a minute and a stroke of 2\.5 m give 0\.99 m\/s, but the speed is 1\.1 m\/s\./,
    );
    for (const code of ['swim-speed', 'stroke-rate', 'stroke-length', 'stroke-index'])
      expect(found(answer, code)?.certainty, code).toBe('unsure');
  });

  test('a gap of 2 % is within what a watch can tell', () => {
    expect(measured({ lengths: [CLEAN], events: entries(1.9) }).messages).toEqual([]);
  });
});

describe('values that no swimmer shows', () => {
  test.each([
    ['a stroke of 6 m', { ...CLEAN, armStrokes: 6 }, 'stroke-length', /Count the strokes of both arms/],
    ['3 m/s', { metres: 15, seconds: 5, pushOffMetres: 0 }, 'swim-speed', /Check the distance and the time/],
    ['a stroke of 40 cm', { ...CLEAN, armStrokes: 100 }, 'stroke-length', /no stroke was counted twice/],
  ])('%s', (_, length, code, hint) => {
    const answer = measured({ lengths: [length] });
    const message = answer.messages.find((m) => m.about.code === code && m.code.startsWith('implausible'));
    expect(message?.severity).toBe('warning');
    expect(message?.text).toMatch(hint);
    expect(found(answer, code)?.certainty).toBe('unsure');
  });

  test.each([
    [
      '200 cycles a minute by marks',
      { events: entries(0.3) },
      'stroke-rate',
      /comes out at 200 cycles\/min\. No swimmer is above 80\. If single arm strokes were marked/,
    ],
    [
      '200 cycles a minute by the watch',
      { lengths: [{ metres: 25, seconds: 22, strokeRate: 200, pushOffMetres: 0 }] },
      'stroke-rate',
      /No swimmer is above 80/,
    ],
    [
      '25 m of kick in 4 s',
      { timedSwims: [{ kind: 'kick', metres: 25, seconds: 4 }] },
      'kick-25-time',
      /fins/,
    ],
    [
      'twice as fast with a buoy',
      {
        timedSwims: [
          { kind: 'buoy', metres: 50, seconds: 30 },
          { kind: 'no-buoy', metres: 50, seconds: 60 },
        ],
      },
      'buoy-gain',
      /equal effort/,
    ],
    [
      'three times the strokes',
      { lengths: [20, 20, 60].map((armStrokes) => ({ ...CLEAN, armStrokes })) },
      'count-drift',
      /first and the last length/,
    ],
  ])('%s', (_, raw, code, text) => {
    const answer = measured(raw);
    const message = answer.messages.find((m) => m.about.code === code && m.code.startsWith('implausible'));
    expect(message?.text).toMatch(text);
    expect(found(answer, code)?.certainty).toBe('unsure');
  });

  test('what comes from the same count is doubted with it, what does not is not', () => {
    const answer = measured({ lengths: [{ ...CLEAN, armStrokes: 6 }] });
    for (const code of ['stroke-rate', 'stroke-index', 'strokes-per-25', 'count-plus-seconds'])
      expect(found(answer, code)?.certainty, code).toBe('unsure');
    for (const code of ['swim-speed', 'pace-per-100'])
      expect(found(answer, code)?.certainty, code).toBe('sure');
  });

  test('where the rates of marks and count disagree, the stroke length is no surer than they are', () => {
    const answer = measured({ lengths: [CLEAN], events: entries(2.6) });
    expect(answer.messages.map((m) => m.code)).toEqual(['sources-disagree']);
    for (const code of ['swim-speed', 'stroke-rate', 'stroke-length', 'stroke-index'])
      expect(found(answer, code)?.certainty, code).toBe('unsure');
  });

  test('ordinary values of a beginner and of a sprinter are not flagged', () => {
    for (const length of [
      { metres: 25, seconds: 42, armStrokes: 34, pushOffMetres: 3, pushOffSeconds: 3 },
      { metres: 50, seconds: 22, armStrokes: 36, pushOffMetres: 12, pushOffSeconds: 4.4 },
    ])
      expect(measured({ lengths: [length] }).messages).toEqual([]);
  });
});

describe('lengths', () => {
  test('a set is added up: paces are not averaged', () => {
    const lengths = [
      { ...CLEAN, seconds: 20 },
      { ...CLEAN, seconds: 24 },
    ];
    const answer = measured({ lengths });
    expect(valueIn(answer, 'swim-speed')).toBeCloseTo(40 / (17.4 + 21.4), 9);
    expect(valueIn(answer, 'pace-per-100')).toBeCloseTo(88, 9);
    expect(said(answer, 'lengths-of-different-pace')).toBeDefined();
  });

  test('lengths without a push-off are not mixed with those that have one', () => {
    const { pushOffMetres: _, pushOffSeconds: __, ...bare } = CLEAN;
    const answer = measured({ lengths: [CLEAN, bare] });
    expect(valueIn(answer, 'swim-speed')).toBeCloseTo(20 / 19.4, 9);
    expect(said(answer, 'push-off-missing-in-some')).toBeDefined();
  });

  test('a count over 50 m becomes one over 25 m only with the push-off', () => {
    const long = { metres: 50, seconds: 48, armStrokes: 44 };
    expect(said(measured({ lengths: [long] }), 'count-needs-push-off')).toBeDefined();
    const answer = measured({ lengths: [{ ...long, pushOffMetres: 6, pushOffSeconds: 3 }] });
    expect(valueIn(answer, 'strokes-per-25')).toBeCloseTo(19, 9);
    expect(valueIn(answer, 'count-plus-seconds')).toBeCloseTo(19 + 3 + (45 * 19) / 44, 9);
  });

  test('a stretch between marks of 10 or 15 m needs no push-off and has no count over 25 m', () => {
    const answer = measured({ lengths: [{ metres: 15, seconds: 12, armStrokes: 14 }] });
    expect(answer.messages).toEqual([]);
    expect(found(answer, 'strokes-per-25')).toBeUndefined();
    expect(found(answer, 'stroke-length')).toBeDefined();
  });

  test('more lengths, a smaller standard deviation', () => {
    const sd = (n: number): number =>
      found(measured({ lengths: Array.from({ length: n }, () => CLEAN) }), 'swim-speed')?.standardDeviation ??
      0;
    expect(sd(4)).toBeLessThan(sd(1) / 1.9);
  });
});
