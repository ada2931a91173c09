/** Kick, buoy, worth: short tests against the watch and what follows from a pace. */
import { describe, expect, test } from 'vitest';
import { found, measured, said, valueIn } from './front-crawl.ts';

const swim = (kind: string, metres: number, seconds: number) => ({ kind, metres, seconds });

describe('kick', () => {
  test('is the mean over 25 m; 25 yards are scaled', () => {
    expect(
      valueIn(measured({ timedSwims: [swim('kick', 25, 52), swim('kick', 25, 54)] }), 'kick-25-time'),
    ).toBe(53);
    const yards = measured({ timedSwims: [{ kind: 'kick', yards: 25, seconds: 48 }] });
    expect(valueIn(yards, 'kick-25-time')).toBeCloseTo(48 / 0.9144, 9);
  });

  test('another distance is left out and said', () => {
    const answer = measured({ timedSwims: [swim('kick', 50, 100)] });
    expect(found(answer, 'kick-25-time')).toBeUndefined();
    expect(said(answer, 'kick-not-25')).toBeDefined();
  });
});

describe('buoy', () => {
  const both = [swim('buoy', 50, 45), swim('buoy', 50, 46), swim('no-buoy', 50, 48), swim('no-buoy', 50, 47)];

  test('plus is faster with the buoy, from all metres and all seconds', () => {
    const answer = measured({ timedSwims: both });
    expect(valueIn(answer, 'buoy-gain')).toBeCloseTo(100 * (95 / 91 - 1), 9);
    expect(found(answer, 'buoy-gain')?.certainty).toBe('sure');
    expect(answer.messages).toEqual([]);
  });

  test('swims with the buoy take no part in the critical speed', () => {
    const answer = measured({ timedSwims: [...both, swim('maximal', 400, 384)] });
    expect(said(answer, 'critical-speed-one-distance')?.text).toMatch(/\(400 m\)/);
  });

  test.each([
    ['one way only', both.slice(0, 2), 'buoy-needs-both'],
    ['another distance', [swim('buoy', 25, 22), swim('no-buoy', 50, 47)], 'buoy-other-distance'],
  ])('%s is refused', (_, timedSwims, code) => {
    const answer = measured({ timedSwims });
    expect(answer.measurements).toEqual([]);
    expect(said(answer, code)).toBeDefined();
  });

  test('one repeat each way is given, as likely, with advice', () => {
    const answer = measured({ timedSwims: [both[0], both[2]] });
    expect(found(answer, 'buoy-gain')?.certainty).toBe('likely');
    expect(said(answer, 'buoy-one-repeat')).toBeDefined();
  });
});

describe('worth', () => {
  const lengths = [{ metres: 25, seconds: 25, pushOffMetres: 0 }];

  test('is an interval over the drag exponent, at the measured pace, worded as an upper bound', () => {
    const { worth } = measured({ lengths, whatIf: [{ change: 'resistance', percent: -10 }] });
    expect(worth).toHaveLength(1);
    // 100 s x (1 - 0.9^(1/(n+1))) for n = 3.3 and 2
    expect(worth[0]?.upToSecondsPer100.low).toBeCloseTo(100 * (1 - 0.9 ** (1 / 4.3)), 9);
    expect(worth[0]?.upToSecondsPer100.high).toBeCloseTo(100 * (1 - 0.9 ** (1 / 3)), 9);
    expect(worth[0]?.text).toBe(
      '10 % lower resistance can be worth up to 2.4 to 3.5 s per 100 m at a pace of 100 s, at equal power. What a swimmer gets is less.',
    );
  });

  test.each([
    ['resistance', 10],
    ['efficiency', -10],
  ])('a change of %s by %d %% is a loss', (change, percent) => {
    const [one] = measured({ whatIf: [{ change, percent, paceSecondsPer100: 100 }] }).worth;
    expect(one?.upToSecondsPer100.high).toBeLessThan(0);
    expect(one?.text).toMatch(/can cost up to \d/);
  });

  test('every text says "up to"', () => {
    const whatIf = ['resistance', 'efficiency'].flatMap((change) =>
      [-50, -10, -1, 1, 10, 60].map((percent) => ({ change, percent, paceSecondsPer100: 95 })),
    );
    const { worth } = measured({ whatIf });
    expect(worth).toHaveLength(12);
    for (const { text } of worth) expect(text).toMatch(/ up to /);
  });

  test('without a pace there is none, and it is said', () => {
    const answer = measured({ whatIf: [{ change: 'resistance', percent: -10 }] });
    expect(answer.worth).toEqual([]);
    expect(said(answer, 'worth-needs-pace')).toBeDefined();
  });
});

test('nothing given is answered with what can be given', () => {
  expect(measured({}).messages.map((m) => m.code)).toEqual(['nothing-given']);
});
