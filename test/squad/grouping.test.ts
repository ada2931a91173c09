/** Who swims with whom: the best there is for a small squad, close to it for a larger one. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { groupExactly } from '../../src/squad/exact.ts';
import { formGroups } from '../../src/squad/grouping.ts';
import { fieldOf, type Swimmer } from '../../src/squad/points.ts';
import { groupBySearch } from '../../src/squad/search.ts';
import { sizesFor } from '../../src/squad/sizes.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { swimmers } from './arbitraries.ts';
import { bruteForce, worthOfGroup, worthOfGroups } from './brute-force.ts';

const weights = ruleSet.parts.constants.squad;
const asked = fc.oneof(
  { weight: 3, arbitrary: fc.constant({}) },
  fc.tuple(fc.integer({ min: 1, max: 4 }), fc.nat(4)).map(([min, more]) => ({ min, max: min + more })),
  fc.record({ max: fc.integer({ min: 1, max: 8 }) }),
);
const pick = (all: readonly Swimmer[], groups: readonly (readonly number[])[]): Swimmer[][] =>
  groups.map((g) => g.map((i) => all[i] as Swimmer));

describe('up to eight swimmers', () => {
  test('get the grouping that trying everything finds best', () => {
    fc.assert(
      fc.property(swimmers(1, 8), fc.integer({ min: 1, max: 3 }), asked, (squad, lanes, sizes) => {
        const grouping = formGroups(squad, lanes, sizes, weights);
        const best = bruteForce(squad, lanes, grouping.sizes, weights);
        expect(grouping.method).toBe('exact');
        expect(grouping.levelBreaks).toBe(best?.breaks);
        const total = grouping.groups.reduce((sum, g) => sum + g.points.total, 0);
        expect(total).toBeCloseTo(best?.total as number, 9);
      }),
      { numRuns: 150 },
    );
  });

  test('also with more lanes than they can fill', () => {
    fc.assert(
      fc.property(swimmers(1, 6), fc.integer({ min: 4, max: 6 }), (squad, lanes) => {
        const grouping = formGroups(squad, lanes, {}, weights);
        const best = bruteForce(squad, lanes, grouping.sizes, weights);
        expect(grouping.groups.reduce((sum, g) => sum + g.points.total, 0)).toBeCloseTo(
          best?.total as number,
          9,
        );
      }),
      { numRuns: 25 },
    );
  });
});

describe('any squad', () => {
  test('is dealt out completely, within the sizes, in no more groups than lanes', () => {
    fc.assert(
      fc.property(swimmers(1, 60), fc.integer({ min: 1, max: 8 }), asked, (squad, lanes, sizes) => {
        const { groups, sizes: used } = formGroups(squad, lanes, sizes, weights);
        expect(groups.flatMap((g) => g.members).sort((a, b) => a - b)).toEqual(squad.map((_, i) => i));
        expect(groups.length).toBeLessThanOrEqual(lanes);
        for (const { members } of groups) {
          expect(members.length).toBeGreaterThanOrEqual(used.min);
          expect(members.length).toBeLessThanOrEqual(used.max);
        }
      }),
      { numRuns: 40 },
    );
  });

  test('has points that are those of the description, line by line and in sum', () => {
    fc.assert(
      fc.property(swimmers(1, 30), fc.integer({ min: 1, max: 5 }), (squad, lanes) => {
        const { groups, sizes } = formGroups(squad, lanes, {}, weights);
        for (const { members, points, cause, levelBreaks } of groups) {
          const worth = worthOfGroup(
            members.map((i) => squad[i] as Swimmer),
            sizes.even,
            weights,
          );
          expect(points.total).toBeCloseTo(worth.total, 9);
          expect(levelBreaks).toBe(worth.breaks);
          const { total, ...lines } = points;
          expect(Object.values(lines).reduce((a, b) => a + b, 0)).toBeCloseTo(total, 9);
          // the focus of a group is somebody's own
          const own = members.flatMap((i) => (squad[i] as Swimmer).aims.map((a) => a.cause));
          if (own.length > 0) expect(own).toContain(cause);
          else expect(cause).toBeNull();
        }
      }),
      { numRuns: 40 },
    );
  });

  test('stands in the lanes by level, the lowest first', () => {
    fc.assert(
      fc.property(swimmers(2, 40), (squad) => {
        const { groups } = formGroups(squad, 4, {}, weights);
        const lowest = groups.map((g) => Math.min(...g.members.map((i) => (squad[i] as Swimmer).level)));
        expect(lowest).toEqual([...lowest].sort((a, b) => a - b));
      }),
      { numRuns: 25 },
    );
  });
});

describe('the search for larger squads', () => {
  // judged where the best is known: the exact method on squads that it can still cover
  const nine = fc.tuple(swimmers(9, 12), fc.integer({ min: 2, max: 4 }));
  const gaps = fc.sample(nine, { numRuns: 60, seed: 8 }).map(([squad, lanes]) => {
    const sizes = sizesFor(squad.length, lanes, {}, weights.spread);
    const field = fieldOf(squad, sizes.even, weights);
    const worth = (groups: readonly (readonly number[])[]) =>
      worthOfGroups(pick(squad, groups), sizes.even, weights);
    return {
      exact: worth(groupExactly(field, lanes, sizes)),
      found: worth(groupBySearch(field, lanes, sizes)),
    };
  });

  test('never breaks the rule of levels where it need not', () => {
    expect(gaps.map((g) => g.found.breaks)).toEqual(gaps.map((g) => g.exact.breaks));
  });

  test('never claims more than the best, and finds it nearly always', () => {
    const short = gaps.map((g) => g.exact.total - g.found.total);
    expect(Math.min(...short)).toBeGreaterThan(-1e-9);
    expect(short.filter((s) => s < 1e-9).length / short.length).toBeGreaterThanOrEqual(0.9);
    // a whole own focus of one swimmer is worth up to 1
    expect(Math.max(...short)).toBeLessThan(0.5);
  });

  test('gives the same groups every time', () => {
    const [squad] = fc.sample(swimmers(60, 60), { numRuns: 1, seed: 3 }) as [Swimmer[]];
    const once = JSON.stringify(formGroups(squad, 7, {}, weights).groups);
    expect(JSON.stringify(formGroups(squad, 7, {}, weights).groups)).toBe(once);
  });
});
