/**
 * Chances that a measured value lies in a grade, against the table of the standard normal distribution: NIST/SEMATECH
 * e-Handbook of Statistical Methods, 1.3.6.7.1 (from memory), and the 68-95-99.7 rule to more places.
 */
import { describe, expect, test } from 'vitest';
import { bandShares, normalShareBelow } from '../../src/assess/measured-grade.ts';

describe('share below z', () => {
  test.each([
    [0, 0.5],
    [0.25, 0.598_71],
    [0.5, 0.691_46],
    [1, 0.841_34],
    [1.645, 0.950_02],
    [1.96, 0.975],
    [2, 0.977_25],
    [2.576, 0.995],
    [3, 0.998_65],
    [-1, 0.158_66],
    [-1.96, 0.025],
  ])('%d', (z, share) => {
    expect(Math.abs(normalShareBelow(z) - share)).toBeLessThanOrEqual(5e-6);
  });

  test.each([
    [1, 0.682_689],
    [2, 0.954_5],
    [3, 0.997_3],
  ])('within %d standard deviations', (z, share) => {
    expect(normalShareBelow(z) - normalShareBelow(-z)).toBeCloseTo(share, 6);
  });
});

test('a value one standard deviation past "slight", with grades one standard deviation wide, by the same table', () => {
  const rule = {
    finding: 'x',
    kind: 'measured',
    direction: 'at-least',
    slight: 10,
    moderate: 12,
    marked: 14,
  } as const;
  const shares = bandShares(12, 2, rule);
  [0.022_75, 0.135_91, 0.341_34, 0.341_34, 0.158_66].forEach((share, k) => {
    expect(Math.abs((shares[k] as number) - share)).toBeLessThanOrEqual(1e-5);
  });
});
