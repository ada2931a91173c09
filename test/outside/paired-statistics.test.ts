/**
 * Paired statistics against published data and tables. The values of each data set are facts that its source prints;
 * the expected figures stand beside them with where they come from.
 */
import { describe, expect, test } from 'vitest';
import { pairedDifference, shareWithin, t95, unpairedDifference, Z95 } from '../../src/compare/statistics.ts';
import { changeOf, compared, FIRST, record, SECOND } from '../compare/films.ts';

type Pairs = readonly (readonly [number, number])[];
const tOf = ({ mean, standardError }: { mean: number; standardError: number }): number =>
  mean / standardError;

/** Speed over 1500 m in m/s without and with a wetsuit, 12 swimmers: de Lucas et al., J Sci Med Sport 3 (2000) 1-8. */
const WETSUIT: Pairs = [
  [1.49, 1.57],
  [1.37, 1.47],
  [1.35, 1.42],
  [1.27, 1.35],
  [1.12, 1.22],
  [1.64, 1.75],
  [1.59, 1.64],
  [1.52, 1.57],
  [1.5, 1.56],
  [1.45, 1.53],
  [1.44, 1.49],
  [1.41, 1.51],
];

/** Extra hours of sleep of ten patients under two drugs: Student, Biometrika 6 (1908) 1-25. */
const SLEEP: Pairs = [
  [1.9, 0.7],
  [0.8, -1.6],
  [1.1, -0.2],
  [0.1, -1.2],
  [-0.1, -0.1],
  [4.4, 3.4],
  [5.5, 3.7],
  [1.6, 0.8],
  [4.6, 0],
  [3.4, 2],
];

/** Peak expiratory flow in l/min of 17 persons, mini and large meter: Bland and Altman, Lancet 1986;i:307-310. */
const PEAK_FLOW: Pairs = [
  [512, 494],
  [430, 395],
  [520, 516],
  [428, 434],
  [500, 476],
  [600, 557],
  [364, 413],
  [380, 442],
  [658, 650],
  [445, 433],
  [432, 417],
  [626, 656],
  [260, 267],
  [477, 478],
  [259, 178],
  [350, 423],
  [451, 427],
];

describe("Student's t", () => {
  // two-sided 5 % points, Fisher and Yates, Statistical Tables (1963), table III
  test.each([
    [1, 12.706],
    [2, 4.303],
    [3, 3.182],
    [4, 2.776],
    [5, 2.571],
    [9, 2.262],
    [10, 2.228],
    [11, 2.201],
    [16, 2.12],
    [30, 2.042],
    [60, 2.0],
    [120, 1.98],
  ])('with %d degrees of freedom holds 95 %% within %d', (freedom, t) => {
    expect(t95(freedom)).toBeCloseTo(t, 3);
    expect(shareWithin(t95(freedom), freedom)).toBeCloseTo(0.95, 10);
  });
});

describe('wetsuits (de Lucas 2000)', () => {
  const d = pairedDifference(WETSUIT);

  test('mean difference 0.0775 m/s, SD 0.0218, t(11) 12.318, 95 % interval 0.0637 to 0.0914', () => {
    expect(d.mean).toBeCloseTo(0.0775, 10);
    expect(d.standardDeviation).toBeCloseTo(0.021794, 6);
    expect(d.freedom).toBe(11);
    expect(tOf(d)).toBeCloseTo(12.3182, 4);
    expect(d.low).toBeCloseTo(0.06365, 5);
    expect(d.high).toBeCloseTo(0.09135, 5);
  });

  test('typical error 0.01541 m/s, limits of agreement 0.0348 to 0.1202', () => {
    expect(d.typicalError).toBeCloseTo(0.01541, 5);
    expect(d.agreement.low).toBeCloseTo(0.0348, 4);
    expect(d.agreement.high).toBeCloseTo(0.1202, 4);
  });

  test('the same numbers as two groups say nothing: t 1.369', () => {
    const groups = unpairedDifference(
      WETSUIT.map(([a]) => a),
      WETSUIT.map(([, b]) => b),
    );
    expect(tOf(groups)).toBeCloseTo(1.3688, 4);
    expect(groups.low).toBeLessThan(0);
  });

  test('come out of a comparison as well, pair by pair, with the suit named first', async () => {
    const clips = WETSUIT.map((_, i) => ({ id: `swim-${i + 1}`, view: 'side-above' as const }));
    const film = (at: string, which: 0 | 1, suit: 'swimwear' | 'wetsuit') =>
      record(
        {
          recording: { clips, suit, pace: 'race' },
          measured: WETSUIT.map((pair, i) => ({
            code: 'swim-speed',
            value: pair[which],
            clip: `swim-${i + 1}`,
          })),
        },
        at,
      );
    const answer = await compared({ records: [film(FIRST, 0, 'swimwear'), film(SECOND, 1, 'wetsuit')] });
    expect(answer.conditions).toMatchObject([{ code: 'suit', after: 'a wetsuit' }]);
    const change = changeOf(answer, 'measurement', 'swim-speed');
    expect(change).toMatchObject({ verdict: 'clear-change', direction: 'better' });
    expect(change.statistics).toMatchObject({ method: 'paired', pairs: 12, freedom: 11 });
    expect(change.statistics?.low).toBeCloseTo(0.06365, 5);
    expect(change.statistics?.high).toBeCloseTo(0.09135, 5);
  });
});

test('sleep (Student 1908): t(9) -4.0621, p 0.002833', () => {
  const d = pairedDifference(SLEEP);
  expect(d.mean).toBeCloseTo(-1.58, 10);
  expect(d.freedom).toBe(9);
  expect(tOf(d)).toBeCloseTo(-4.0621, 4);
  expect(1 - shareWithin(Math.abs(tOf(d)), d.freedom)).toBeCloseTo(0.002833, 6);
});

test('sleep as two groups, as Welch would: t -1.8608 with 17.78 degrees of freedom, here the whole 17', () => {
  const d = unpairedDifference(
    SLEEP.map(([a]) => a),
    SLEEP.map(([, b]) => b),
  );
  // the figures that the statistics system R prints for its data set `sleep` (from memory)
  expect(tOf(d)).toBeCloseTo(-1.8608, 4);
  expect(d.freedom).toBe(17);
});

test('peak flow (Bland and Altman 1986): mean difference -2.1, SD 38.8, limits of agreement -80 to 76 l/min', () => {
  const { mean, standardDeviation, agreement } = pairedDifference(PEAK_FLOW);
  expect(mean).toBeCloseTo(-2.1176, 4);
  expect(standardDeviation).toBeCloseTo(38.765, 3);
  expect(agreement.low).toBeCloseTo(-2.1176 - 1.96 * 38.765, 2);
  expect(agreement.high).toBeCloseTo(-2.1176 + 1.96 * 38.765, 2);
});

describe('the smallest real change', () => {
  // MDC95 = 1.96 * root 2 * SEM (Weir, J Strength Cond Res 19 (2005) 231-240, from memory)
  const smallest = (sem: number): number => Z95 * Math.SQRT2 * sem;

  test('is 2.77 times the standard error of measurement', () => {
    expect(smallest(1)).toBeCloseTo(2.7719, 4);
  });

  test('of a test with SD 6.0 and ICC 0.85 is 6.44', () => {
    expect(smallest(6 * Math.sqrt(1 - 0.85))).toBeCloseTo(6.441, 3);
  });

  test('of critical speed with a typical error of 0.04 m/s (PMC10875687) is the limit of the rule set, 0.11', async () => {
    expect(smallest(0.04)).toBeCloseTo(0.111, 3);
    const film = (at: string, value: number) => record({ measured: [{ code: 'critical-speed', value }] }, at);
    const answer = await compared({ records: [film(FIRST, 1), film(SECOND, 1.2)] });
    expect(changeOf(answer, 'measurement', 'critical-speed').smallestBelievable).toBe(0.11);
  });

  test('is what a comparison demands of two films with that error', async () => {
    const film = (at: string) =>
      record({ measured: [{ code: 'knee-bend', value: 60, standardDeviation: 6 * Math.sqrt(0.15) }] }, at);
    const answer = await compared({ records: [film(FIRST), film(SECOND)] });
    expect(changeOf(answer, 'measurement', 'knee-bend').smallestBelievable).toBeCloseTo(6.441, 3);
  });

  test('two trials of six: bias 0.05, SD 0.3146, typical error 0.2225, agreement -0.567 to 0.667', () => {
    const first = [10.2, 11, 9.6, 10.8, 10.1, 11.4];
    const second = [10.5, 10.8, 9.9, 10.6, 10.5, 11.1];
    const d = pairedDifference(first.map((x, i) => [x, second[i] as number]));
    expect(d.mean).toBeCloseTo(0.05, 10);
    expect(d.standardDeviation).toBeCloseTo(0.3146, 4);
    expect(d.typicalError).toBeCloseTo(0.2225, 4);
    expect(d.agreement.low).toBeCloseTo(-0.5667, 4);
    expect(d.agreement.high).toBeCloseTo(0.6667, 4);
  });
});
