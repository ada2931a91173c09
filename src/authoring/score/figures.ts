/**
 * How good probabilities are against what an expert named: Brier score with its decomposition (Brier 1950, Murphy 1973),
 * logarithmic loss, calibration error. Formulas from memory; checked against published examples in the tests.
 */
import { mean, sum } from 'simple-statistics';

/** One cause of one record: what was said and what the expert named. */
export interface Forecast {
  readonly probability: number;
  readonly named: 0 | 1;
}

/** Mean squared error, 0 (perfect) to 1. */
export const brier = (forecasts: readonly Forecast[]): number =>
  mean(forecasts.map(({ probability, named }) => (probability - named) ** 2));

/** Mean of -ln of the chance that was given to what is true; probabilities strictly between 0 and 1. */
export const logLoss = (forecasts: readonly Forecast[]): number =>
  mean(forecasts.map(({ probability: p, named }) => -Math.log(named === 1 ? p : 1 - p)));

export interface Group {
  readonly count: number;
  readonly meanForecast: number;
  readonly namedShare: number;
}

/** @param group of at least one forecast */
export const groupOf = (group: readonly Forecast[]): Group => ({
  count: group.length,
  meanForecast: mean(group.map((f) => f.probability)),
  namedShare: mean(group.map((f) => f.named)),
});

export interface Decomposition {
  /** How far what was said lies from what came: smaller is better. */
  readonly reliability: number;
  /** How well groups of forecasts tell apart: larger is better. */
  readonly resolution: number;
  /** How hard the task is, whoever does it. */
  readonly uncertainty: number;
  /** What grouping forecasts that differ leaves over: Brier - (reliability - resolution + uncertainty). */
  readonly withinGroups: number;
}

/** @param groups all forecasts, each in one group, no group empty */
export function decompose(groups: readonly (readonly Forecast[])[]): Decomposition {
  const all = groups.flat();
  const rate = mean(all.map((f) => f.named));
  const told = groups.map(groupOf);
  const weighted = (f: (g: Group) => number): number => sum(told.map((g) => g.count * f(g))) / all.length;
  const reliability = weighted((g) => (g.meanForecast - g.namedShare) ** 2);
  const resolution = weighted((g) => (g.namedShare - rate) ** 2);
  const uncertainty = rate * (1 - rate);
  return {
    reliability,
    resolution,
    uncertainty,
    withinGroups: brier(all) - (reliability - resolution + uncertainty),
  };
}

/** Mean distance between what was said and what came, over groups by their size. */
export function calibrationError(groups: readonly (readonly Forecast[])[]): number {
  const told = groups.map(groupOf);
  return sum(told.map((g) => g.count * Math.abs(g.namedShare - g.meanForecast))) / groups.flat().length;
}
