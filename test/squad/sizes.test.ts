/** Group sizes: as asked where that is possible, widened by as little as makes a grouping possible where not. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { groupCounts, sizesFor } from '../../src/squad/sizes.ts';

const SPREAD = 1;

describe('sizes of groups', () => {
  test.each([
    ['forty in six lanes', 40, 6, {}, { min: 5, max: 8 }],
    ['nobody swims alone', 8, 6, {}, { min: 2, max: 3 }],
    ['one swimmer', 1, 4, {}, { min: 1, max: 3 }],
    ['as asked', 40, 6, { min: 6, max: 7 }, { min: 6, max: 7 }],
    ['only the most', 40, 8, { max: 5 }, { min: 4, max: 5 }],
    ['only the fewest', 12, 6, { min: 4 }, { min: 4, max: 4 }],
  ])('%s', (_, swimmers, lanes, asked, { min, max }) => {
    expect(sizesFor(swimmers, lanes, asked, SPREAD)).toMatchObject({ min, max, kept: true });
  });

  test.each([
    ['too many for the lanes', 45, 6, { max: 7 }, { min: 6, max: 8 }],
    ['too few for a group', 3, 2, { min: 5 }, { min: 3, max: 5 }],
    ['between two numbers of groups', 5, 2, { min: 3, max: 4 }, { min: 3, max: 5 }],
  ])('%s: widened and told', (_, swimmers, lanes, asked, { min, max }) => {
    expect(sizesFor(swimmers, lanes, asked, SPREAD)).toMatchObject({ min, max, kept: false });
  });

  test('always leave a grouping, and are kept whenever the asked ones do', () => {
    const asked = fc.record(
      { min: fc.integer({ min: 1, max: 12 }), max: fc.integer({ min: 12, max: 30 }) },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 500 }),
        fc.integer({ min: 1, max: 20 }),
        asked,
        (n, lanes, sizes) => {
          const used = sizesFor(n, lanes, sizes, SPREAD);
          expect(groupCounts(n, lanes, used).length).toBeGreaterThan(0);
          expect(used.min).toBeLessThanOrEqual(used.even);
          expect(used.even).toBeLessThanOrEqual(used.max);
          if (sizes.min !== undefined && sizes.max !== undefined) {
            const possible = groupCounts(n, lanes, { min: sizes.min, max: sizes.max }).length > 0;
            expect(used.kept).toBe(possible);
          }
          if (used.kept && sizes.min !== undefined) expect(used.min).toBe(sizes.min);
          if (used.kept && sizes.max !== undefined) expect(used.max).toBe(sizes.max);
        },
      ),
    );
  });
});
