/** Scores of labelled records. All records and labels are invented. */
import { describe, expect, test } from 'vitest';
import { bootstrapRange } from '../../../src/authoring/score/bootstrap.ts';
import type { CauseForecast, Judged } from '../../../src/authoring/score/forecasts.ts';
import { readCases, scoreRuleSet } from '../../../src/authoring/score/score.ts';
import { scoresByCause, scoresOf } from '../../../src/authoring/score/scores.ts';
import type { LabelledCase } from '../../../src/contract/calibration.ts';
import { loadAll } from '../../../src/knowledge/load.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';
import { random } from '../../forward-model/random.ts';

const [ruleSet] = (await loadAll(new URL('../../../rules', import.meta.url).pathname)) as [RuleSet];

const forecast = (probability: number, named: 0 | 1, cause = 'head-high-habit'): CauseForecast => ({
  cause,
  probability,
  named,
  low: Math.max(0, probability - 0.1),
  high: Math.min(1, probability + 0.1),
});
const judged = (swimmer: string, forecasts: CauseForecast[], place: number | null = null): Judged => ({
  swimmer,
  forecasts,
  place,
  anyNamed: forecasts.some((f) => f.named === 1),
});

/** Swimmers whose causes come true as often as `truth` says of what was forecast. */
function drawn(count: number, truth: (p: number) => number, seed = 5): Judged[] {
  const r = random(seed);
  return Array.from({ length: count }, (_, i) =>
    judged(
      `S-${i}`,
      Array.from({ length: 20 }, () => {
        const p = r.between(0.03, 0.97);
        return forecast(p, r.between(0, 1) < truth(p) ? 1 : 0);
      }),
    ),
  );
}
const sharper = (p: number): number => p ** 2 / (p ** 2 + (1 - p) ** 2);

describe('what the slope says', () => {
  test('1 for probabilities that come true as often as they say', () => {
    const { slope } = scoresOf(
      drawn(200, (p) => p),
      ruleSet,
    );
    expect(slope.value).toBeCloseTo(1, 1);
    expect(slope.range?.[0]).toBeLessThan(1);
    expect(slope.range?.[1]).toBeGreaterThan(1);
  });

  test('about 2 for log-odds of half the size they should have, with a range above 1', () => {
    const { slope } = scoresOf(drawn(200, sharper), ruleSet);
    expect(slope.value).toBeGreaterThan(1.8);
    expect(slope.range?.[0]).toBeGreaterThan(1.6);
  });
});

describe('the figures add up', () => {
  const scores = scoresOf(drawn(60, sharper), ruleSet);

  test('Brier score = reliability - resolution + uncertainty + what lies within groups', () => {
    const { reliability, resolution, uncertainty, withinGroups } = scores.decomposition;
    expect(reliability - resolution + uncertainty + withinGroups).toBeCloseTo(scores.brier.value, 12);
    expect(scores.skill).toBeCloseTo(1 - scores.brier.value / uncertainty, 12);
  });

  test('the reliability table holds every forecast once, under the word that a coach reads', () => {
    const words = ruleSet.parts.constants.probabilityWords.map((w) => w.word);
    expect(scores.reliability.map((b) => b.word)).toEqual(words);
    expect(scores.reliability.reduce((n, b) => n + b.count, 0)).toBe(scores.forecasts);
  });

  test('a line is covered when what came lies in the range that was stated', () => {
    for (const b of scores.reliability) {
      expect(b.covered).toBe(b.meanRange[0] <= b.namedShare && b.namedShare <= b.meanRange[1]);
    }
    const covered = scores.reliability.filter((b) => b.covered).reduce((n, b) => n + b.count, 0);
    expect(scores.rangeCoverage).toBeCloseTo(covered / scores.forecasts, 12);
    expect(scores.reliability.some((b) => !b.covered)).toBe(true);
  });
});

test('the first place and the first three count only where a cause was named and listed', () => {
  const yes = forecast(0.8, 1);
  const records = [
    judged('a', [yes], 1),
    judged('b', [yes], 3),
    judged('c', [yes]),
    judged('d', [forecast(0.1, 0)]),
  ];
  const { topOne, topThree } = scoresOf(records, ruleSet);
  expect(topOne?.value).toBeCloseTo(1 / 3, 12);
  expect(topThree?.value).toBeCloseTo(2 / 3, 12);
});

describe('ranges', () => {
  test('copies of one swimmer make nothing surer', () => {
    const own = drawn(8, (p) => p);
    const copies = [...own, ...own, ...own];
    const [many, few] = [copies, own].map((list) => scoresOf(list, ruleSet).brier.range as [number, number]);
    expect(many?.[0]).toBeCloseTo(few?.[0] as number, 12);
    expect(many?.[1]).toBeCloseTo(few?.[1] as number, 12);
  });

  test('are not given for four swimmers', () => {
    expect(
      scoresOf(
        drawn(4, (p) => p),
        ruleSet,
      ).brier.range,
    ).toBeNull();
    expect(
      scoresOf(
        drawn(5, (p) => p),
        ruleSet,
      ).brier.range,
    ).not.toBeNull();
  });

  test('of a mean have the width of its standard error', () => {
    const values = Array.from({ length: 100 }, (_, i) => i / 99);
    const range = bootstrapRange(
      100,
      (times) => values.reduce((s, v, i) => s + v * (times[i] as number), 0) / 100,
    );
    const sd = Math.sqrt(values.reduce((s, v) => s + (v - 0.5) ** 2, 0) / 100);
    const width = (range as [number, number])[1] - (range as [number, number])[0];
    expect(width / ((2 * 1.6449 * sd) / 10)).toBeGreaterThan(0.85);
    expect(width / ((2 * 1.6449 * sd) / 10)).toBeLessThan(1.15);
  });
});

test('a cause is judged by itself from ten namings on', () => {
  const of = (count: number, p: number) =>
    scoresByCause(
      [
        judged('a', [
          ...Array.from({ length: count }, () => forecast(p, 1)),
          ...Array.from({ length: 40 }, () => forecast(p, 0)),
        ]),
      ],
      ruleSet,
    )[0]?.because.code;
  expect(of(9, 0.5)).toBe('too-few');
  expect(of(10, 0.5)).toBe('said-too-often');
  expect(of(10, 0.2)).toBe('about-right');
  expect(of(30, 0.2)).toBe('said-too-seldom');
});

describe('records', () => {
  const request = (ref: string, more: object = {}): LabelledCase => ({
    request: {
      swimmer: { level: 'intermediate', ref },
      health: { asked: true },
      observations: [{ code: 'head-held-high', severity: 3, certainty: 'sure' }],
      ...more,
    },
    causes: [{ code: 'head-high-habit' }],
  });

  test('a cause seen for sure and named is a hit in first place', () => {
    const { cases } = readCases([request('a')], ruleSet);
    const scored = scoreRuleSet(cases, ruleSet);
    expect(scored.overall).toMatchObject({ cases: 1, named: 1, topOne: { value: 1, range: null } });
    expect(scored.because.map((b) => b.code)).toEqual(['few-cases', 'slope-unknown']);
  });

  test('one that the health check stops is left out and named', () => {
    const { cases, messages } = readCases(
      [request('a'), request('b', { health: { asked: true, signs: ['fainting'] } })],
      ruleSet,
    );
    expect(cases).toHaveLength(1);
    expect(messages).toEqual([{ code: 'stopped', text: expect.stringContaining('record 2') }]);
  });

  test('the order of the records changes nothing', () => {
    const list = ['a', 'b', 'c', 'd', 'e', 'f'].map((ref, i) =>
      request(ref, { observations: [{ code: 'hips-low', severity: i % 4, certainty: 'likely' }] }),
    );
    const scored = (l: LabelledCase[]) => scoreRuleSet(readCases(l, ruleSet).cases, ruleSet);
    expect(scored([...list].reverse())).toEqual(scored(list));
  });
});
