/** Kappas against printed tables and the output of statistics packages, the source beside each. */
import { describe, expect, test } from 'vitest';
import { fleissKappa } from '../../src/authoring/agreement/fleiss.ts';
import { cohenKappa, linear, quadratic } from '../../src/authoring/agreement/kappa.ts';
import diagnoses from './fixtures/fleiss-1971-diagnoses.json' with { type: 'json' };

/** SAS output that the tests of statsmodels quote (stats/tests/test_inter_rater.py, BSD-3). */
const SAS = [
  [0, 4, 1],
  [0, 8, 0],
  [0, 1, 5],
];
/** Rating of fun by couples, in Agresti's book; figures of the R package vcd. */
const COUPLES = [
  [7, 7, 2, 3],
  [2, 8, 3, 7],
  [1, 5, 4, 9],
  [2, 8, 9, 14],
];
/** 14 observers, ten subjects, five grades: statsmodels, the same file; .210 is the published value. */
const FOURTEEN = [
  [0, 0, 0, 0, 14],
  [0, 2, 6, 4, 2],
  [0, 0, 3, 5, 6],
  [0, 3, 9, 2, 0],
  [2, 2, 8, 1, 1],
  [7, 7, 0, 0, 0],
  [3, 2, 6, 3, 0],
  [2, 5, 3, 2, 2],
  [6, 5, 2, 1, 0],
  [0, 2, 2, 3, 7],
];

describe("Cohen's kappa", () => {
  test('SAS: plain .4842 with standard error .1380 and limits .2137 and .7547', () => {
    const found = cohenKappa(SAS);
    expect(found.kappa).toBeCloseTo(0.4842, 4);
    expect(found.standardError).toBeCloseTo(0.138, 4);
    expect(found.interval?.[0]).toBeCloseTo(0.2137, 3);
    expect(found.interval?.[1]).toBeCloseTo(0.7547, 3);
  });

  test('SAS: linear weights .4701 with standard error .1457; by hand: quadratic 140/311', () => {
    const found = cohenKappa(SAS, linear);
    expect(found.kappa).toBeCloseTo(0.4701, 4);
    expect(found.standardError).toBeCloseTo(0.1457, 4);
    expect(cohenKappa(SAS, quadratic).kappa).toBeCloseTo(140 / 311, 12);
  });

  test('R vcd: couples .1293, linear weights .2374', () => {
    expect(cohenKappa(COUPLES).kappa).toBeCloseTo(0.1293, 4);
    expect(cohenKappa(COUPLES, linear).kappa).toBeCloseTo(0.2374, 4);
  });

  test('R psych: the weighted example of Cohen 1968, .3478261, plain .4915254', () => {
    const table = [
      [44, 7, 9],
      [5, 20, 5],
      [1, 3, 6],
    ];
    const harm = [
      [0, 1, 3],
      [1, 0, 6],
      [3, 6, 0],
    ];
    expect(cohenKappa(table).kappa).toBeCloseTo(0.4915254, 7);
    const credit = (i: number, j: number) => 1 - (harm[i]?.[j] as number) / 6;
    expect(cohenKappa(table, credit).kappa).toBeCloseTo(0.3478261, 7);
  });

  test('the same share of agreement is worth less where nearly everybody shows it: .444444 against .8', () => {
    const common = cohenKappa([
      [85, 5],
      [5, 5],
    ]);
    const even = cohenKappa([
      [47, 3],
      [7, 43],
    ]);
    expect(common.agreement).toBeCloseTo(0.9, 12);
    expect(even.agreement).toBeCloseTo(0.9, 12);
    expect(common.kappa).toBeCloseTo(0.444444, 6);
    expect(even.kappa).toBeCloseTo(0.8, 10);
  });

  test('severities 0 to 3: .637870, linear .774003, quadratic .882398 (statsmodels, R psych and R vcd alike)', () => {
    const table = [
      [10, 2, 0, 0],
      [1, 6, 2, 0],
      [0, 2, 5, 1],
      [0, 0, 1, 4],
    ];
    expect(cohenKappa(table).kappa).toBeCloseTo(0.63787, 6);
    expect(cohenKappa(table, linear).kappa).toBeCloseTo(0.774003, 6);
    expect(cohenKappa(table, quadratic).kappa).toBeCloseTo(0.882398, 6);
  });
});

describe("Fleiss' kappa", () => {
  test('14 observers of ten subjects: .209931', () => {
    expect(fleissKappa(FOURTEEN).kappa).toBeCloseTo(0.209931, 6);
  });

  test('Fleiss 1971, 30 patients, six psychiatrists, five diagnoses: .4302445 (R irr)', () => {
    const counts = diagnoses.rows.map((row) => [1, 2, 3, 4, 5].map((g) => row.filter((d) => d === g).length));
    expect(fleissKappa(counts).kappa).toBeCloseTo(0.4302445, 7);
  });
});
