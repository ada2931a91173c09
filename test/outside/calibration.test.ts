/** Scores of probabilities against published examples and another package's output, the source beside each. */
import { describe, expect, test } from 'vitest';
import {
  brier,
  calibrationError,
  decompose,
  type Forecast,
  logLoss,
} from '../../src/authoring/score/figures.ts';
import { recalibrate } from '../../src/authoring/score/recalibrate.ts';

const forecasts = (probabilities: readonly number[], named: readonly number[]): Forecast[] =>
  probabilities.map((probability, i) => ({ probability, named: named[i] as 0 | 1 }));
const byValue = (list: readonly Forecast[]): Forecast[][] => [
  ...Map.groupBy(list, (f) => f.probability).values(),
];

test('documentation of scikit-learn, brier_score_loss: .0375', () => {
  expect(brier(forecasts([0.1, 0.9, 0.8, 0.3], [0, 1, 1, 0]))).toBeCloseTo(0.0375, 12);
});

test('Brier 1950, ten forecasts of rain (from memory): .19 over two classes, so half of it here; .095 - .21 + .21', () => {
  const rain = forecasts([0.7, 0.9, 0.8, 0.4, 0.2, 0, 0, 0, 0, 0.1], [0, 1, 1, 1, 0, 0, 0, 0, 0, 0]);
  expect(2 * brier(rain)).toBeCloseTo(0.19, 12);
  const { reliability, resolution, uncertainty, withinGroups } = decompose(byValue(rain));
  expect(reliability).toBeCloseTo(0.095, 12);
  expect(resolution).toBeCloseTo(0.21, 12);
  expect(uncertainty).toBeCloseTo(0.21, 12);
  expect(withinGroups).toBeCloseTo(0, 12);
});

describe('twelve forecasts of three values, worked by hand', () => {
  const all = forecasts(
    [0.1, 0.1, 0.1, 0.1, 0.5, 0.5, 0.5, 0.5, 0.9, 0.9, 0.9, 0.9],
    [0, 0, 0, 1, 0, 1, 1, 0, 1, 1, 1, 0],
  );

  test('.223333 = .015 - .041667 + .25', () => {
    expect(brier(all)).toBeCloseTo(0.223333, 6);
    const parts = decompose(byValue(all));
    expect(parts.reliability).toBeCloseTo(0.015, 12);
    expect(parts.resolution).toBeCloseTo(0.041667, 6);
    expect(parts.uncertainty).toBeCloseTo(0.25, 12);
  });

  test('logarithmic loss .667494, calibration error .10', () => {
    expect(logLoss(all)).toBeCloseTo(0.667494, 6);
    expect(calibrationError(byValue(all))).toBeCloseTo(0.1, 12);
  });
});

test('documentation of scikit-learn, calibration_curve with three bins: calibration error .138889', () => {
  const all = forecasts([0.1, 0.2, 0.3, 0.4, 0.65, 0.7, 0.8, 0.9, 1], [0, 0, 0, 0, 1, 1, 1, 1, 1]);
  const bins = [...Map.groupBy(all, (f) => Math.min(2, Math.floor(f.probability * 3))).values()];
  expect(calibrationError(bins)).toBeCloseTo(0.138889, 6);
});

test('documentation of scikit-learn, log_loss of .19 and .79 for what came true: 1.66 and .23', () => {
  expect(logLoss(forecasts([0.19], [1]))).toBeCloseTo(1.660731, 6);
  expect(logLoss(forecasts([0.79], [1]))).toBeCloseTo(0.235722, 6);
});

test('penalised recalibration with one slope, sixteen records: -.116487 and 1.087723 (the same model as optim in R)', () => {
  const L0 = -6.0206;
  const k = Math.LN10 / 10;
  const rows = [
    [12.5, 6.8, -1.8, 1],
    [12.5, -7.3, 0, 0],
    [0, 6.8, 2.5, 1],
    [-9.3, 6.8, 2.5, 0],
    [12.5, 0, -1.8, 1],
    [-9.3, -7.3, -1.8, 0],
    [-9.3, 0, 2.5, 0],
    [12.5, 6.8, 2.5, 1],
    [0, -7.3, -1.8, 0],
    [-9.3, 6.8, -1.8, 0],
    [12.5, -7.3, 2.5, 1],
    [0, 6.8, -1.8, 0],
    [-9.3, -7.3, 2.5, 0],
    [12.5, 6.8, 0, 1],
    [0, 0, 2.5, 0],
    [-9.3, -7.3, 0, 0],
  ] as const;
  const points = rows.map(([a, b, c, named]) => ({ offset: k * L0, x: k * (a + b + c), named }));
  const { intercept, slope } = recalibrate(points, { interceptSd: 0.5, slopeSd: 0.25 });
  expect(intercept).toBeCloseTo(-0.116487, 5);
  expect(slope).toBeCloseTo(1.087723, 5);
});
