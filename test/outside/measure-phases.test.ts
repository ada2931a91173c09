/** Phases, coordination and symmetry against worked examples and printed relations. */
import { describe, expect, test } from 'vitest';
import { symmetry } from '../../src/measure/asymmetry.ts';
import { found, measured, said, valueIn } from '../measure/front-crawl.ts';

type Row = readonly [kind: string, time: number];
const marks = (arm: string, rows: readonly Row[]) => rows.map(([kind, time]) => ({ arm, kind, time }));

/** One cycle of each arm, phases after Chollet, Chalies & Chatard 2000; the numbers were worked by hand. */
const WORKED = [
  ...marks('right', [
    ['entry', 0],
    ['pull-start', 0.52],
    ['mid-pull', 0.8],
    ['exit', 1.1],
    ['entry', 1.5],
    ['pull-start', 2.02],
  ]),
  ...marks('left', [
    ['entry', 0.76],
    ['pull-start', 1.25],
    ['mid-pull', 1.53],
    ['exit', 1.86],
    ['entry', 2.26],
  ]),
];

describe('one worked cycle of each arm', () => {
  const answer = measured({ events: WORKED });

  test.each([
    ['right', 34.66666667, 18.66666667, 20, 26.66666667],
    ['left', 32.66666667, 18.66666667, 22, 26.66666667],
  ])('%s: shares of the four phases', (arm, front, pull, push, recovery) => {
    expect(valueIn(answer, 'front-time-share', arm)).toBeCloseTo(front, 6);
    expect(valueIn(answer, 'pull-share', arm)).toBeCloseTo(pull, 6);
    expect(valueIn(answer, 'push-share', arm)).toBeCloseTo(push, 6);
    expect(valueIn(answer, 'recovery-share', arm)).toBeCloseTo(recovery, 6);
  });

  test('index of coordination, both lags, and its mode', () => {
    expect(valueIn(answer, 'coordination-index')).toBeCloseTo(-10.33333333, 6);
    expect(valueIn(answer, 'coordination-lag', 'left')).toBeCloseTo(-10, 6);
    expect(valueIn(answer, 'coordination-lag', 'right')).toBeCloseTo(-10.66666667, 6);
    expect(valueIn(answer, 'coordination-difference')).toBeCloseTo(-0.66666667, 6);
    expect(found(answer, 'coordination-index')?.derivation.mode).toBe('catch-up');
    expect(said(answer, 'coordination-catch-up')?.text).toMatch(/no fault by itself/);
  });

  test('the index is the mean propulsive share less 50 where both arms have one cycle time', () => {
    const shares = ['left', 'right'].map((arm) => valueIn(answer, 'propulsive-share', arm));
    expect(((shares[0] ?? 0) + (shares[1] ?? 0)) / 2 - 50).toBeCloseTo(
      valueIn(answer, 'coordination-index'),
      9,
    );
  });

  test('propulsive time left and right: -5.04 %, symmetric', () => {
    expect(valueIn(answer, 'propulsive-asymmetry')).toBeCloseTo(-5.042017, 5);
    expect(found(answer, 'propulsive-asymmetry')?.derivation.symmetric).toBe(true);
  });

  test('equal times under water: no arm is named', () => {
    expect(found(answer, 'underwater-time-asymmetry')).toMatchObject({ side: 'body' });
    expect(valueIn(answer, 'underwater-time-asymmetry')).toBeCloseTo(0, 9);
  });
});

/**
 * A timing example of a swimming text: cycle 1.8 s of entry and glide 0.5, support 0.2, main pull 0.4, exit 0.1, recovery 0.6;
 * each arm works 0.6 s and two pauses of 0.3 s are left.
 */
test('0.6 s of work in a cycle of 1.8 s leaves a coordination index of -16.667 %', () => {
  const arm = (start: number): Row[] => [
    ['entry', start],
    ['pull-start', start + 0.5],
    ['exit', start + 1.1],
    ['entry', start + 1.8],
    ['pull-start', start + 2.3],
    ['exit', start + 2.9],
    ['entry', start + 3.6],
  ];
  const answer = measured({ events: [...marks('right', arm(0)), ...marks('left', arm(0.9))] });
  expect(valueIn(answer, 'coordination-index')).toBeCloseTo(-16.66666667, 6);
  expect(valueIn(answer, 'propulsive-share', 'left')).toBeCloseTo(33.33333333, 6);
  expect(found(answer, 'coordination-index')?.derivation.intoLeft).toBeCloseTo((100 * -0.3) / 1.8, 6);
});

/** Symmetry index of Robinson, Herzog & Nigg 1987, worked by hand. */
describe('symmetry index', () => {
  test.each([
    [0.58, 0.62, -6.66666667, true, 'left'],
    [52, 58, -10.90909091, false, 'left'],
    [3, -1, 400, false, 'right'],
  ])('right %d and left %d: %d %%', (right, left, index, symmetric, larger) => {
    const own = symmetry(right, left);
    expect(own.index).toBeCloseTo(index, 6);
    expect(own).toMatchObject({ symmetric, larger });
  });

  test('a mean of zero has no index, but a difference', () => {
    expect(symmetry(2, -2)).toMatchObject({ index: null, symmetric: null, difference: 4 });
  });
});
