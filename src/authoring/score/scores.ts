/** The figures of a set of judged records, overall and cause by cause. Pure; the draws of the ranges have a fixed seed. */
import { mean, sum } from 'simple-statistics';
import { labelOfCause, phrase } from '../../assess/phrases.ts';
import type { CauseScore, Ranged, ReliabilityBin, Scores } from '../../contract/calibration.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { bootstrapRange } from './bootstrap.ts';
import { brier, calibrationError, decompose, groupOf, logLoss } from './figures.ts';
import type { CauseForecast, Judged } from './forecasts.ts';
import { type Point, type Pull, pullOf, recalibrate, step } from './recalibrate.ts';

/** Gentle: with a hundred named causes it moves a slope by about a hundredth. */
const PRIOR = { interceptSd: 2, slopeSd: 1 };
/** Under this many namings, figures of one cause are noise. */
const FEWEST_NAMED = 10;

const logit = (p: number): number => Math.log(p / (1 - p));

/** Records of each swimmer, in the order of the swimmers' references. */
function bySwimmer(judged: readonly Judged[]): Judged[][] {
  const groups = Map.groupBy(judged, (j) => j.swimmer);
  return [...groups.entries()].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, records]) => records);
}

/** A mean over forecasts or records, with its range over swimmers. */
function rangedMean(perSwimmer: readonly (readonly number[])[]): Ranged | null {
  const sums = perSwimmer.map((values) => [sum([...values]), values.length] as const);
  const over = (times: (i: number) => number): number | null => {
    let [total, count] = [0, 0];
    sums.forEach(([s, n], i) => {
      total += times(i) * s;
      count += times(i) * n;
    });
    return count === 0 ? null : total / count;
  };
  const value = over(() => 1);
  if (value === null) return null;
  return { value, range: bootstrapRange(sums.length, (times) => over((i) => times[i] as number)) };
}

/** The range takes one step of Newton's method from the line of all swimmers, which is what a draw moves it by at first order. */
function slopeOf(groups: readonly (readonly Judged[])[]): { slope: Ranged; intercept: number } {
  const points = groups.map((records) =>
    records.flatMap((r) =>
      r.forecasts.map(({ probability, named }): Point => ({ offset: 0, x: logit(probability), named })),
    ),
  );
  const line = recalibrate(points.flat(), PRIOR);
  const pulls = points.map((own) => pullOf(own, line));
  const range = bootstrapRange(pulls.length, (times) => {
    const total = (f: (pull: Pull) => number): number =>
      sum(pulls.map((pull, i) => (times[i] as number) * f(pull)));
    const pull: Pull = {
      gradient: [total((p) => p.gradient[0]), total((p) => p.gradient[1])],
      curvature: [total((p) => p.curvature[0]), total((p) => p.curvature[1]), total((p) => p.curvature[2])],
    };
    return step(pull, line, PRIOR).slope;
  });
  return { slope: { value: line.slope, range }, intercept: line.intercept };
}

/** Forecasts by the word that a coach reads for them, the surest first; words that nothing got are left out. */
function byWord(forecasts: readonly CauseForecast[], ruleSet: RuleSet): Map<string, CauseForecast[]> {
  const words = ruleSet.parts.constants.probabilityWords;
  const groups = new Map(words.map(({ word }) => [word, [] as CauseForecast[]]));
  for (const f of forecasts) {
    const { word } = words.find((w) => f.probability >= w.from) ?? (words.at(-1) as (typeof words)[number]);
    groups.get(word)?.push(f);
  }
  return new Map([...groups].filter(([, group]) => group.length > 0));
}

function binOf(word: string, group: readonly CauseForecast[]): ReliabilityBin {
  const told = groupOf(group);
  const low = mean(group.map((f) => f.low));
  const high = mean(group.map((f) => f.high));
  return {
    word,
    ...told,
    meanRange: [low, high],
    covered: low <= told.namedShare && told.namedShare <= high,
  };
}

/** @param judged at least one record */
export function scoresOf(judged: readonly Judged[], ruleSet: RuleSet): Scores {
  const groups = bySwimmer(judged);
  const forecasts = groups.flat().flatMap((j) => j.forecasts);
  const perSwimmer = (f: (forecast: CauseForecast) => number): number[][] =>
    groups.map((records) => records.flatMap((r) => r.forecasts.map(f)));
  const perNamed = (f: (record: Judged) => number): number[][] =>
    groups.map((records) => records.filter((r) => r.anyNamed).map(f));
  const top = (k: number): Ranged | null =>
    rangedMean(perNamed(({ place }) => (place !== null && place <= k ? 1 : 0)));
  const words = byWord(forecasts, ruleSet);
  const decomposition = decompose([...words.values()]);
  const reliability = [...words].map(([word, group]) => binOf(word, group));
  const score = brier(forecasts);
  return {
    cases: judged.length,
    swimmers: groups.length,
    forecasts: forecasts.length,
    named: forecasts.filter((f) => f.named === 1).length,
    brier: rangedMean(perSwimmer((f) => brier([f]))) as Ranged,
    decomposition,
    skill: decomposition.uncertainty === 0 ? null : 1 - score / decomposition.uncertainty,
    logLoss: rangedMean(perSwimmer((f) => logLoss([f]))) as Ranged,
    calibrationError: calibrationError([...words.values()]),
    ...slopeOf(groups),
    topOne: top(1),
    topThree: top(3),
    rangeCoverage: sum(reliability.filter((b) => b.covered).map((b) => b.count)) / forecasts.length,
    reliability,
  };
}

function causeWords(
  named: number,
  meanForecast: number,
  share: number,
  ruleSet: RuleSet,
): CauseScore['because'] {
  const code =
    named < FEWEST_NAMED
      ? 'too-few'
      : meanForecast > 1.25 * share
        ? 'said-too-often'
        : meanForecast < 0.8 * share
          ? 'said-too-seldom'
          : 'about-right';
  return { code, text: phrase(ruleSet, `score-${code}`, { named: String(named) }) };
}

/** Causes that the expert named, or that the rules held for possible, at least once; the most named first. */
export function scoresByCause(judged: readonly Judged[], ruleSet: RuleSet): CauseScore[] {
  const { probability: listed } = ruleSet.parts.constants.listing;
  const byCause = Map.groupBy(
    judged.flatMap((j) => j.forecasts),
    (f) => f.cause,
  );
  return [...byCause]
    .filter(([, all]) => all.some((f) => f.named === 1 || f.probability >= listed))
    .map(([cause, all]): CauseScore => {
      const { meanForecast, namedShare } = groupOf(all);
      const named = all.filter((f) => f.named === 1).length;
      return {
        cause,
        label: labelOfCause(ruleSet, cause),
        named,
        meanForecast,
        brier: brier(all),
        logLoss: logLoss(all),
        because: causeWords(named, meanForecast, namedShare, ruleSet),
      };
    })
    .sort((a, b) => b.named - a.named || (a.cause < b.cause ? -1 : 1));
}
