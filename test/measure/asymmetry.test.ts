import { describe, expect, test } from 'vitest';
import { found, measured, valueIn } from './front-crawl.ts';
import { marksOf, mirrored, STEADY } from './swimmer.ts';

/** The left arm leaves the water earlier: 1.04 s against 1.2 s under water. */
const uneven = marksOf({ ...STEADY, left: { ...STEADY.left, exit: 0.65 } });
const size = (200 * (0.75 - 0.65)) / (0.75 + 0.65);

describe('uneven time under water', () => {
  test('names the arm that is shorter, and is positive there', () => {
    const one = found(measured({ events: uneven }), 'underwater-time-asymmetry');
    expect(one).toMatchObject({ side: 'left', unit: '%' });
    expect(one?.value).toBeCloseTo(size, 9);
    expect(one?.derivation.rightMinusLeft).toBeCloseTo(size, 9);
    expect(one?.derivation.convention).toMatch(/right - left/);
  });

  test('mirrored: the right arm, positive there, with the other sign in right minus left', () => {
    const one = found(measured({ events: mirrored(uneven) }), 'underwater-time-asymmetry');
    expect(one?.side).toBe('right');
    expect(one?.value).toBeCloseTo(size, 9);
    expect(one?.derivation.rightMinusLeft).toBeCloseTo(-size, 9);
  });

  test('is not given for one arm alone', () => {
    const events = uneven.filter((m) => m.arm === 'left');
    expect(found(measured({ events }), 'underwater-time-asymmetry')).toBeUndefined();
  });
});

describe('uneven rhythm', () => {
  test.each([0.42, 0.58])('a left entry at %d of the cycle: the size, with the sign beside it', (offset) => {
    const events = marksOf({ ...STEADY, offset });
    const one = found(measured({ events }), 'entry-rhythm-asymmetry');
    expect(one?.side).toBe('body');
    expect(one?.value).toBeCloseTo(32, 9);
    expect(one?.derivation.rightMinusLeft).toBeCloseTo(offset < 0.5 ? 32 : -32, 9);
  });

  test('an even rhythm is zero', () => {
    expect(valueIn(measured({ events: marksOf(STEADY) }), 'entry-rhythm-asymmetry')).toBeCloseTo(0, 9);
  });
});

test('the difference of the coordination is right minus left, in points', () => {
  const answer = measured({ events: marksOf({ ...STEADY, offset: 0.46 }) });
  const [left, right] = ['left', 'right'].map((arm) => valueIn(answer, 'coordination-lag', arm));
  expect(valueIn(answer, 'coordination-difference')).toBeCloseTo((right ?? 0) - (left ?? 0), 9);
  expect(found(answer, 'coordination-difference')?.unit).toBe('% cycle');
});
