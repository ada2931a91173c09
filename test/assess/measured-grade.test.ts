/** A measured value and its standard deviation: from a step at each threshold to a slope. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bandShares, type MeasuredParams, weighBands } from '../../src/assess/measured-grade.ts';
import { ruleSet } from './front-crawl.ts';

/** Every shipped threshold rule. */
const RULES = ruleSet.parts.reports.flatMap(({ id, event: { params } }) =>
  params.kind === 'measured' ? [{ id, p: params }] : [],
);
const step = (p: MeasuredParams): number => Math.abs(p.moderate - p.slight);
const db = (value: number, sd: number | undefined, p: MeasuredParams, certaintyDb = 15): number =>
  weighBands(bandShares(value, sd, p), certaintyDb, ruleSet).reduce((sum, b) => sum + b.share * b.db, 0);
/** The error function of the library is exact to 1.2e-7; times the 40 dB between the ends of the scale. */
const LIBRARY = 5e-6;

const rule = fc.constantFrom(...RULES.map(({ p }) => p));
/** Value and error in steps of the rule's own grades, from well clear to well past marked. */
const place = fc.double({ min: -4, max: 12, noNaN: true });
const spread = fc.double({ min: 0.05, max: 3, noNaN: true });
const certainty = fc.constantFrom(5, 10, 15, 20);
const worse = (p: MeasuredParams): 1 | -1 => (p.direction === 'at-least' ? 1 : -1);
const valueAt = (p: MeasuredParams, steps: number): number => p.slight + worse(p) * steps * step(p);

describe('the weight of a value with a standard deviation', () => {
  test('never falls as the value gets worse', () => {
    fc.assert(
      fc.property(
        rule,
        place,
        fc.double({ min: 0, max: 2, noNaN: true }),
        spread,
        certainty,
        (p, at, by, sd, c) => {
          const weigh = (x: number): number => db(valueAt(p, x), sd * step(p), p, c);
          expect(weigh(at + by)).toBeGreaterThanOrEqual(weigh(at) - LIBRARY);
        },
      ),
    );
  });

  test('has no steps: a hundredth of the error moves it by at most what the normal curve allows', () => {
    const scale = 40;
    const most = (scale * 0.01) / Math.sqrt(2 * Math.PI) + LIBRARY;
    fc.assert(
      fc.property(rule, place, spread, certainty, (p, at, sd, c) => {
        const weigh = (x: number): number => db(valueAt(p, x), sd * step(p), p, c);
        expect(Math.abs(weigh(at + sd * 0.01) - weigh(at))).toBeLessThanOrEqual(most);
      }),
    );
  });

  test('is the same for a rule turned upside down', () => {
    const flipped = (p: MeasuredParams): MeasuredParams => ({
      ...p,
      direction: p.direction === 'at-least' ? 'at-most' : 'at-least',
      slight: -p.slight,
      moderate: -p.moderate,
      marked: -p.marked,
      ...(p.absentAt === undefined ? {} : { absentAt: -p.absentAt }),
    });
    fc.assert(
      fc.property(rule, place, spread, (p, at, sd) => {
        const value = valueAt(p, at);
        expect(bandShares(-value, sd, flipped(p))).toEqual(bandShares(value, sd, p));
        expect(bandShares(-value, undefined, flipped(p))).toEqual(bandShares(value, undefined, p));
      }),
    );
  });

  test('adds up: the chances of the five bands make one', () => {
    fc.assert(
      fc.property(rule, place, fc.option(spread, { nil: undefined }), (p, at, sd) => {
        const shares = bandShares(valueAt(p, at), sd, p);
        expect(shares.reduce((a, b) => a + b)).toBeCloseTo(1, 12);
        for (const share of shares) expect(share).toBeGreaterThanOrEqual(-LIBRARY);
      }),
    );
  });

  test.each(RULES)('on the threshold of $id is at most a quarter of what its certainty allows', ({ p }) => {
    for (const certaintyDb of [5, 10, 15])
      for (const sd of [0.02, 0.1, 0.3, 1])
        expect(Math.abs(db(p.slight, sd * step(p), p, certaintyDb))).toBeLessThanOrEqual(
          certaintyDb / 4 + LIBRARY,
        );
  });
});

describe('an exact value', () => {
  test('and one with a vanishing error weigh the same', () => {
    fc.assert(
      fc.property(rule, place, certainty, (p, at, c) => {
        const value = valueAt(p, at);
        const limits = [p.slight, p.moderate, p.marked, p.absentAt ?? p.slight - worse(p) * step(p)];
        fc.pre(limits.every((limit) => Math.abs(value - limit) > 1e-6));
        expect(db(value, 1e-9, p, c)).toBeCloseTo(db(value, undefined, p, c), 5);
        expect(db(value, 0, p, c)).toBe(db(value, undefined, p, c));
      }),
    );
  });

  const rule12: MeasuredParams = {
    finding: 'x',
    kind: 'measured',
    direction: 'at-least',
    slight: 12,
    moderate: 15,
    marked: 20,
    absentAt: 8,
  };
  test.each([
    [8, -15],
    [8.1, -5],
    [11.9, -5],
    [12, 7.5],
    [14.9, 7.5],
    [15, 15],
    [25, 15],
  ])('%d against 12, 15 and 20, good up to 8, counts %d dB', (value, weight) => {
    expect(db(value, undefined, rule12)).toBe(weight);
  });
});
