/** Decibans and uncertain reports against worked examples that others have published. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  db,
  entropy,
  logOddsOf,
  probabilityOf,
  ratioOf,
  weightOfReport,
} from '../../src/assess/network/decibans.ts';
import { CERTAIN, showsAt } from './small-network.ts';

describe('odds and decibans (Turing and Good: ten times the common logarithm of the odds)', () => {
  test.each([
    [0, 0.5],
    [10, 0.909_090_909_1],
    [-10, 0.090_909_090_9],
    [20, 0.990_099_009_9],
  ])('%d dB is the probability %d', (weight, p) => {
    expect(probabilityOf(weight)).toBeCloseTo(p, 10);
  });

  test.each([
    [0.02, -16.901_960_8],
    [0.05, -12.787_536],
    [0.1, -9.542_425_1],
    [0.2, -6.020_599_9],
    [0.3, -3.679_767_9],
    [0.4, -1.760_912_6],
  ])('a prior of %d is %d dB', (p, weight) => {
    expect(logOddsOf(p)).toBeCloseTo(weight, 7);
    expect(probabilityOf(weight)).toBeCloseTo(p, 8);
  });

  test('bounds of the verbal scales: Jeffreys 1939 in steps of 5 dB, Kass and Raftery 1995 at 3, 20 and 150', () => {
    [10 ** 0.5, 10, 10 ** 1.5, 100].map(db).forEach((weight, i) => {
      expect(weight).toBeCloseTo(5 * (i + 1), 12);
    });
    expect(db(3)).toBeCloseTo(4.771_212_5, 7);
    expect(db(20)).toBeCloseTo(13.010_3, 7);
    expect(db(150)).toBeCloseTo(21.760_912_6, 7);
  });
});

describe('published examples of weighing evidence', () => {
  test('General Report on Tunny (1945), page 39: 10000:1 against, then 20 signs of 2:1, "20 dB or 100:1 on"', () => {
    const total = -db(10_000) + 20 * db(2);
    expect(total).toBeCloseTo(20.205_999_1, 7);
    expect(ratioOf(total)).toBeCloseTo(104.8576, 9);
    // the report counts in whole decibans
    expect(-Math.round(db(10_000)) + 20 * Math.round(db(2))).toBe(20);
  });

  // Tavtigian and others 2018, as tabulated in J. Med. Genet.: prior 0.10, odds 350^(n/8) for n points
  test.each([
    [10, 0.994_090_058_5, '0.99'],
    [6, 0.899_910_028_1, '0.90'],
    [-1, 0.050_716_016_9, '0.05'],
    [-6, 0.001_371_230_7, '0.001'],
  ])('genetic variant points (Tavtigian 2018): %d points give %d, printed %s', (points, exact, printed) => {
    const p = probabilityOf(logOddsOf(0.1) + (points / 8) * db(350));
    expect(p).toBeCloseTo(exact, 10);
    expect(p.toFixed(printed.length - 2)).toBe(printed);
  });

  test('one variant point is 2.08:1 (Tavtigian 2018)', () => {
    expect(ratioOf(db(350) / 8)).toBeCloseTo(2.079_737, 6);
  });

  test('OpenMarkov tutorial: prevalence 8 %, sensitivity 75 %, specificity 96 %', () => {
    const positive = weightOfReport(ratioOf(CERTAIN), 0.75, 0.04);
    const negative = weightOfReport(ratioOf(-CERTAIN), 0.75, 0.04);
    expect(positive).toBeCloseTo(12.730_012_7, 7);
    expect(negative).toBeCloseTo(-5.843_312_2, 7);
    expect(probabilityOf(logOddsOf(0.08) + positive)).toBeCloseTo(0.619_834_710_7, 10);
    expect(1 - probabilityOf(logOddsOf(0.08) + negative)).toBeCloseTo(0.977_856_510_2, 10);
  });

  test('credit scoring textbook table, cases to others 80:100 with the sign and 20:500 without', () => {
    const nat = Math.LN10 / 10;
    const present = nat * weightOfReport(ratioOf(CERTAIN), 80 / 100, 100 / 600);
    const absent = nat * weightOfReport(ratioOf(-CERTAIN), 80 / 100, 100 / 600);
    const intercept = nat * logOddsOf(20 / 520);
    // printed: 1.569, -1.427, slope of the logistic regression 2.996, intercept -3.219
    expect(present).toBeCloseTo(1.568_615_9, 7);
    expect(absent).toBeCloseTo(-1.427_116_4, 7);
    expect(present - absent).toBeCloseTo(Math.log(20), 12);
    expect(intercept).toBeCloseTo(-3.218_875_8, 7);
  });

  test('likelihood ratios 10 and 0.2 come from frequencies of .8163 and .0816 (two equations solved by hand)', () => {
    const [s, f] = [40 / 49, 4 / 49];
    expect([s, f].map((x) => x.toFixed(7))).toEqual(['0.8163265', '0.0816327']);
    expect(weightOfReport(ratioOf(CERTAIN), s, f)).toBeCloseTo(10, 10);
    expect(weightOfReport(ratioOf(-CERTAIN), s, f)).toBeCloseTo(db(0.2), 10);
  });
});

describe('uncertain reports (virtual evidence, Pearl 1988)', () => {
  test('a 20:1 report on a sign with 80 % and 10 % counts 16.2/2.9', () => {
    const weight = weightOfReport(20, 0.8, 0.1);
    expect(weight).toBeCloseTo(7.471_170_2, 7);
    expect(ratioOf(weight)).toBeCloseTo(5.586_206_9, 7);
  });

  // worked out in Python in full precision, checked there by the full joint distribution:
  // authored dB, background, then the report present at certain, 15, 10, 5 dB and absent likewise
  test.each([
    [
      12.5, 0.05, 12.5, 10.473_630_124_145, 7.929_834_216_077, 4.211_800_684_515, -9.329_475_754_465,
      -8.355_017_638_719, -6.794_638_290_29, -3.915_719_586_678,
    ],
    [
      12.5, 0.02, 12.5, 8.677_368_640_907, 5.514_606_399_668, 2.293_478_623_478, -1.821_082_073_531,
      -1.748_733_166_433, -1.596_602_467_07, -1.150_316_159_425,
    ],
    [
      7.5, 0.1, 7.5, 6.517_895_604_319, 5.037_958_368_584, 2.605_427_077_097, -3.131_069_684_223,
      -2.973_332_186_253, -2.654_086_908_411, -1.800_214_844_251,
    ],
    [
      7.5, 0.05, 7.5, 5.794_176_520_718, 3.864_726_375_04, 1.616_932_872_269, -1.210_978_117_364,
      -1.164_810_761_974, -1.067_139_309_837, -0.776_189_534_42,
    ],
    [
      2.5, 0.3, 2.5, 2.309_286_495_329, 1.953_276_734_379, 1.160_157_352_051, -1.762_313_320_069,
      -1.666_498_975_288, -1.474_326_488_22, -0.973_720_047_024,
    ],
    [
      17.5, 0.01, 17.5, 11.445_402_537_507, 7.451_229_398_706, 3.362_670_549_217, -3.544_996_535_806,
      -3.373_413_241_409, -3.024_409_530_053, -2.078_016_024_677,
    ],
  ])(
    'a sign of %d dB at background %d, reported with less and less certainty',
    (authored, leak, ...expected) => {
      const s = showsAt(authored, leak);
      const strengths = [CERTAIN, 15, 10, 5];
      const got = [...strengths, ...strengths.map((w) => -w)].map((w) => weightOfReport(ratioOf(w), s, leak));
      expected.forEach((weight, i) => {
        expect(got[i]).toBeCloseTo(weight, 10);
      });
    },
  );

  test('a report that says nothing counts nothing, and no report passes on more than a certain one', () => {
    const share = fc.double({ min: 0.01, max: 0.99, noNaN: true });
    const strength = fc.double({ min: -40, max: 40, noNaN: true });
    fc.assert(
      fc.property(share, share, strength, (a, b, w) => {
        const [g, s] = a < b ? [a, b] : [b, a];
        const weight = weightOfReport(ratioOf(w), s, g);
        expect(Math.abs(weightOfReport(1, s, g))).toBeLessThan(1e-12);
        expect(weight).toBeLessThanOrEqual(weightOfReport(ratioOf(CERTAIN), s, g) + 1e-12);
        expect(weight).toBeGreaterThanOrEqual(weightOfReport(ratioOf(-CERTAIN), s, g) - 1e-12);
      }),
      { seed: 28 },
    );
  });

  test("Turing's theorem (bayesianspectacles.org): the expected factor for a false hypothesis is one", () => {
    const share = fc.double({ min: 0.02, max: 0.98, noNaN: true });
    fc.assert(
      fc.property(share, share, share, share, (s, g, hit, falseAlarm) => {
        const yes = ratioOf(weightOfReport(hit / falseAlarm, s, g));
        const no = ratioOf(weightOfReport((1 - hit) / (1 - falseAlarm), s, g));
        const saidYes = g * hit + (1 - g) * falseAlarm;
        expect(saidYes * yes + (1 - saidYes) * no).toBeCloseTo(1, 10);
      }),
      { seed: 29 },
    );
  });
});

describe('what a look is worth (Shannon 1948: entropy in bits)', () => {
  test('a fair question is one bit and a settled one none', () => {
    expect([0, 0.5, 1].map(entropy)).toEqual([0, 1, 0]);
    expect(entropy(0.3)).toBeCloseTo(0.881_290_9, 7);
  });

  test('a cause at 30 % and a sure look at a sign with 80 % and 10 %: .3482981 bits', () => {
    const seen = 0.3 * 0.8 + 0.7 * 0.1;
    const ifSeen = probabilityOf(logOddsOf(0.3) + weightOfReport(ratioOf(CERTAIN), 0.8, 0.1));
    const ifNot = probabilityOf(logOddsOf(0.3) + weightOfReport(ratioOf(-CERTAIN), 0.8, 0.1));
    expect(ifSeen).toBeCloseTo(0.774_193_5, 7);
    expect(ifNot).toBeCloseTo(0.086_956_5, 7);
    expect(entropy(0.3) - seen * entropy(ifSeen) - (1 - seen) * entropy(ifNot)).toBeCloseTo(0.348_298_1, 7);
  });
});
