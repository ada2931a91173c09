import { describe, expect, test } from 'vitest';
import { found, measured, said, valueIn } from './front-crawl.ts';

/** Speed 1.2 m/s with two swings a cycle of 20 %: a variation of 14.14 %. */
const SPEED = 1.2;
const CYCLE = 1.6;
const place = (t: number): number =>
  SPEED * (t + ((0.2 * CYCLE) / (4 * Math.PI)) * (1 - Math.cos((4 * Math.PI * t) / CYCLE)));
const trace = (perSecond: number, seconds = 6.4, sign = 1) =>
  Array.from({ length: seconds * perSecond + 1 }, (_, frame) => ({
    frame,
    metres: sign * place(frame / perSecond),
  }));
const entries = [0, 1.6, 3.2, 4.8, 6.4];
const raw = (perSecond: number, more: object = {}) => ({
  frameRate: perSecond,
  events: entries.map((t) => ({ arm: 'left', kind: 'entry', frame: Math.round(t * perSecond) })),
  positions: { point: 'hip', samples: trace(perSecond), ...more },
});

describe('the swings of speed within the cycle', () => {
  test.each([25, 50, 100, 200])('at %d a second', (perSecond) => {
    const answer = measured(raw(perSecond));
    expect(Math.abs(valueIn(answer, 'speed-variation') - 14.142)).toBeLessThan(0.35);
    expect(Math.abs(valueIn(answer, 'swim-speed') - SPEED)).toBeLessThan(0.005);
    expect(found(answer, 'speed-variation')?.derivation).toMatchObject({ point: 'hip', cycles: 4 });
    expect(answer.messages).toEqual([]);
  });

  test('towards the other end of the pool and from another origin it is the same', () => {
    const there = raw(50);
    const back = raw(50, { samples: trace(50, 6.4, -1).map((s) => ({ ...s, metres: s.metres + 25 })) });
    expect(valueIn(measured(back), 'speed-variation')).toBeCloseTo(
      valueIn(measured(there), 'speed-variation'),
      6,
    );
    expect(valueIn(measured(back), 'swim-speed')).toBeCloseTo(valueIn(measured(there), 'swim-speed'), 6);
  });

  test('samples in any order and with a short gap', () => {
    const samples = trace(50)
      .filter((s) => s.frame % 61 > 1)
      .reverse();
    expect(Math.abs(valueIn(measured(raw(50, { samples })), 'speed-variation') - 14.142)).toBeLessThan(0.5);
  });

  test('another body point is named, because its values are not comparable', () => {
    const answer = measured(raw(50, { point: 'head' }));
    expect(said(answer, 'speed-variation-point')?.text).toMatch(/The tracked point was the head/);
  });

  test.each([
    ['no entries', { ...raw(50), events: [] }, 'positions-need-entries'],
    ['ten samples a second', raw(10), 'positions-too-few'],
    [
      'two samples at one moment',
      raw(50, { samples: [...trace(50), { frame: 7, metres: 3 }] }),
      'positions-uneven',
    ],
  ])('%s: none, and it is said', (_, given, code) => {
    const answer = measured(given);
    expect(found(answer, 'speed-variation')).toBeUndefined();
    expect(said(answer, code)).toBeDefined();
  });
});
