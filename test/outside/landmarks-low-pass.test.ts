/** The low-pass against SciPy (values and version beside the numbers) and against its own theory. */
import { butterworth } from 'digital-filter';
import { describe, expect, test } from 'vitest';
import { designCutOff, lowPass, lowPassGain } from '../../src/measure/landmarks/low-pass.ts';
import { AT_6_OF_50, AT_10_OF_25, SERIES } from './fixtures/low-pass-scipy.ts';

test.each([
  { cutOffHz: 6, rate: 50, scipy: AT_6_OF_50 },
  { cutOffHz: 10, rate: 25, scipy: AT_10_OF_25 },
])(
  '$cutOffHz Hz at $rate samples a second: SciPy, sample by sample, to 1e-8',
  ({ cutOffHz, rate, scipy }) => {
    const own = lowPass(SERIES, cutOffHz, rate);
    expect(own).toHaveLength(scipy.length);
    own.forEach((value, i) => {
      expect(value, `sample ${i}`).toBeCloseTo(scipy[i]!, 8);
    });
  },
);

/** Winter, Biomechanics and Motor Control of Human Movement, 4th ed.: (sqrt 2 - 1)^(1/4) = 0.80224. */
describe('6 Hz at 50 samples a second, raised for two passes', () => {
  test('is designed at 7.2965 Hz', () => {
    expect(designCutOff(6, 50)).toBeCloseTo(7.296539682, 8);
  });

  test.each([
    ['not raised', 6, [0.0913149, 0.1826298, 0.0913149], [-0.98240579, 0.3476654]],
    ['raised', 7.296539682278729, [0.12545228, 0.25090456, 0.12545228], [-0.7792165, 0.28102563]],
  ] as const)('coefficients, %s', (_, hz, b, a) => {
    const [section, ...more] = butterworth(2, hz, 50, 'lowpass');
    expect(more).toEqual([]);
    [section!.b0, section!.b1, section!.b2].forEach((v, i) => {
      expect(v).toBeCloseTo(b[i]!, 6);
    });
    expect(section!.a1).toBeCloseTo(a[0], 6);
    expect(section!.a2).toBeCloseTo(a[1], 6);
  });
});

describe('what is left of a sine', () => {
  const RATE = 100;
  const leftOf = (hz: number, cutOffHz: number): number => {
    const wave = Array.from({ length: 800 }, (_, i) => Math.sin((2 * Math.PI * hz * i) / RATE));
    const middle = lowPass(wave, cutOffHz, RATE).slice(200, 600);
    return Math.sqrt((2 * middle.reduce((sum, v) => sum + v * v, 0)) / middle.length);
  };

  test('at the cut-off: 0.7071', () => {
    expect(leftOf(6, 6)).toBeCloseTo(Math.SQRT1_2, 4);
  });

  test.each([1, 2, 3])('%d Hz: the gain that the width of a recovery is mended with', (hz) => {
    expect(leftOf(hz, 6)).toBeCloseTo(lowPassGain(hz, 6), 2);
  });
});
