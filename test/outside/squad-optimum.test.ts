/**
 * The grouping of a squad against an independent solver: every group of an allowed size is a column with its worth, every
 * swimmer a row that must be covered once, at most so many columns as lanes. That is the set partitioning problem
 * (Balas and Padberg 1976, from memory), which the mixed-integer solver HiGHS (Huangfu and Hall 2018, from memory; npm
 * package highs) solves to proven optimality.
 */
import fc from 'fast-check';
import highs from 'highs';
import { describe, expect, test } from 'vitest';
import { groupExactly } from '../../src/squad/exact.ts';
import { fieldOf, type Swimmer } from '../../src/squad/points.ts';
import { groupBySearch } from '../../src/squad/search.ts';
import { type Sizes, sizesFor } from '../../src/squad/sizes.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { swimmers } from '../squad/arbitraries.ts';
import { worthOfGroup, worthOfGroups } from '../squad/brute-force.ts';

const weights = ruleSet.parts.constants.squad;
// the package is typed as CommonJS, but its ES module exports the loader itself
const solver = await (highs as unknown as typeof highs.default)();
/** A broken rule of levels weighs more than all points together. */
const BREAK = 1000;

function groupsOf(swimmers: number, { min, max }: Sizes): number[][] {
  const groups: number[][] = [];
  for (let mask = 1; mask < 2 ** swimmers; mask++) {
    const members = Array.from({ length: swimmers }, (_, i) => i).filter((i) => (mask >> i) & 1);
    if (members.length >= min && members.length <= max) groups.push(members);
  }
  return groups;
}

/** @returns the proven optimum: points less broken rules. */
function optimum(squad: readonly Swimmer[], lanes: number, sizes: Sizes): number {
  const groups = groupsOf(squad.length, sizes);
  const worth = groups.map((g) => {
    const { total, breaks } = worthOfGroup(
      g.map((i) => squad[i] as Swimmer),
      sizes.even,
      weights,
    );
    return total - BREAK * breaks;
  });
  const sum = (columns: readonly number[]): string => columns.map((c) => `+ 1 g${c}`).join('\n');
  const rows = squad.map((_, i) => {
    const columns = groups.flatMap((g, c) => (g.includes(i) ? [c] : []));
    return `once${i}: ${sum(columns)} = 1`;
  });
  const all = groups.map((_, c) => c);
  const objective = worth.map((w, c) => `${w < 0 ? '-' : '+'} ${Math.abs(w).toFixed(12)} g${c}`).join('\n');
  const problem = [
    `Maximize\nobj: ${objective}`,
    `Subject To\n${rows.join('\n')}\nlanes: ${sum(all)} <= ${lanes}`,
    `Binary\n${all.map((c) => `g${c}`).join('\n')}`,
    'End',
  ].join('\n');
  const solution = solver.solve(problem, { mip_rel_gap: 0, mip_abs_gap: 1e-9, output_flag: false });
  expect(solution.Status).toBe('Optimal');
  return solution.ObjectiveValue;
}

function found(squad: readonly Swimmer[], groups: readonly (readonly number[])[], even: number): number {
  const { total, breaks } = worthOfGroups(
    groups.map((g) => g.map((i) => squad[i] as Swimmer)),
    even,
    weights,
  );
  return total - BREAK * breaks;
}

const sample = (least: number, most: number, lanes: number[], numRuns: number): [Swimmer[], number][] =>
  fc.sample(fc.tuple(swimmers(least, most), fc.constantFrom(...lanes)), { numRuns, seed: 17 });

describe('grouping against HiGHS', () => {
  test('the exact method agrees for 6 to 12 swimmers', () => {
    for (const [squad, lanes] of sample(6, 12, [2, 3, 4], 25)) {
      const sizes = sizesFor(squad.length, lanes, {}, weights.spread);
      const field = fieldOf(squad, sizes.even, weights);
      const own = found(squad, groupExactly(field, lanes, sizes), sizes.even);
      expect(own).toBeCloseTo(optimum(squad, lanes, sizes), 6);
    }
  });

  test('the search comes within a tenth of one focus of the optimum for 13 to 15 swimmers', () => {
    const gaps = sample(13, 15, [4], 20).map(([squad, lanes]) => {
      const sizes = sizesFor(squad.length, lanes, {}, weights.spread);
      const field = fieldOf(squad, sizes.even, weights);
      return optimum(squad, lanes, sizes) - found(squad, groupBySearch(field, lanes, sizes), sizes.even);
    });
    expect(Math.min(...gaps)).toBeGreaterThan(-1e-6);
    expect(Math.max(...gaps)).toBeLessThan(0.1);
  });
});
