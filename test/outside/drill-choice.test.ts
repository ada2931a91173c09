/** The choice of drills against a worked example, a published counterexample and brute force. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { pickDrills, type Stake } from '../../src/assess/drills.ts';
import type { DrillEntry } from '../../src/knowledge/parts.ts';

/** Share of each cause that a drill removes. */
interface Plain {
  readonly code: string;
  readonly family: string;
  readonly removes: { readonly [cause: string]: number };
}

const drillOf = (plain: Plain, shares: readonly number[]): DrillEntry => ({
  code: plain.code,
  family: plain.family,
  levels: ['novice'],
  phases: ['pull'],
  slots: ['technique'],
  needsAnyOf: [],
  loads: [],
  tags: [],
  prerequisites: [],
  cautions: [],
  targets: Object.entries(plain.removes).map(([cause, share]) => ({ cause, effect: shares.indexOf(share) })),
  avoid: [],
  amount: { pool25: { repeats: { least: 4, most: 6 }, metres: 25, restSeconds: 20 }, mark: 'judgement' },
  perWeek: { least: 1, most: 2 },
  mark: 'judgement',
});

const stakesOf = (values: { readonly [cause: string]: number }): Stake[] =>
  Object.entries(values).map(([cause, value]) => ({ cause, side: 'body', value }));

/** Picks with any shares: the table of effects is as long as the shares need. */
function pick(
  drills: readonly Plain[],
  values: { readonly [cause: string]: number },
  k: number,
): { codes: string[]; gains: number[] } {
  const shares = [0, ...new Set(drills.flatMap((d) => Object.values(d.removes)))];
  const entries = drills.map((d) => drillOf(d, shares));
  const picks = pickDrills(entries, stakesOf(values), k, shares);
  return { codes: picks.map((p) => p.drill.code), gains: picks.map((p) => p.gain) };
}

const sum = (list: readonly number[]): number => list.reduce((a, b) => a + b, 0);

/** Worth of a set: of each cause, what its drills together remove (probabilistic coverage). */
const worth = (set: readonly Plain[], values: { readonly [cause: string]: number }): number =>
  sum(
    Object.entries(values).map(
      ([cause, value]) => value * (1 - set.reduce((left, d) => left * (1 - (d.removes[cause] ?? 0)), 1)),
    ),
  );

const expectGains = (gains: readonly number[], expected: readonly number[]): void => {
  expect(gains).toHaveLength(expected.length);
  expected.forEach((gain, i) => {
    expect(gains[i]).toBeCloseTo(gain, 10);
  });
};

describe('worked example: six drills, four causes, three places (worked out by hand and in Python)', () => {
  // probability x impact x ease
  const values = { A: 0.83 * 10 * 0.8, B: 0.48 * 8 * 0.5, C: 0.1 * 5 * 0.9, E: 0.35 * 6 * 0.7 };
  // effect x fit
  const drills: readonly Plain[] = [
    { code: 'D1', family: 'balance', removes: { A: 0.6 } },
    { code: 'D2', family: 'balance', removes: { A: 0.45, E: 0.18 } },
    { code: 'D3', family: 'kick', removes: { B: 0.56 } },
    { code: 'D4', family: 'catch', removes: { C: 0.6, E: 0.3 } },
    { code: 'D5', family: 'catch', removes: { E: 0.6 } },
    { code: 'D6', family: 'kick', removes: { B: 0.3, A: 0.2 } },
  ];
  const alone = drills.map((d) => ({ ...d, family: d.code }));

  test.each([
    ['D1', 3.984],
    ['D2', 3.2526],
    ['D3', 1.0752],
    ['D4', 0.711],
    ['D5', 0.882],
    ['D6', 1.904],
  ])('%s alone is worth %d', (code, gain) => {
    expectGains(
      pick(
        drills.filter((d) => d.code === code),
        values,
        3,
      ).gains,
      [gain],
    );
  });

  test('one of a family: D1, D6, D5 with 3.984 + 1.1072 + .882 = 5.9732', () => {
    const { codes, gains } = pick(drills, values, 3);
    expect(codes).toEqual(['D1', 'D6', 'D5']);
    expectGains(gains, [3.984, 1.1072, 0.882]);
    expect(sum(gains)).toBeCloseTo(5.9732, 10);
  });

  test('every drill a family of its own: D1, D2, D3 and 6.519, better than the three best single drills', () => {
    const { codes, gains } = pick(alone, values, 3);
    expect(codes).toEqual(['D1', 'D2', 'D3']);
    expectGains(gains, [3.984, 1.4598, 1.0752]);
    expect(sum(gains)).toBeCloseTo(6.519, 10);
    const bestSingles = drills.filter((d) => ['D1', 'D2', 'D6'].includes(d.code));
    expect(worth(bestSingles, values).toFixed(3)).toBe('6.312');
  });

  test('propulsion causes held back to .585 while resistance is likely: same drills, 5.6072', () => {
    const waits = 1 - 0.5 * 0.83;
    const { codes, gains } = pick(drills, { ...values, C: values.C * waits, E: values.E * waits }, 3);
    expect(codes).toEqual(['D1', 'D6', 'D5']);
    expectGains(gains, [3.984, 1.1072, 0.51597]);
    expect(sum(gains)).toBeCloseTo(5.6072, 4);
  });
});

test('maximum cover: greedy takes the big set and reaches 5 of 6, inside the bound of Nemhauser, Wolsey and Fisher 1978', () => {
  const cover = (code: string, elements: string): Plain => ({
    code,
    family: code,
    removes: Object.fromEntries(elements.split('').map((e) => [e, 1])),
  });
  const sets = [cover('G', 'bcde'), cover('S1', 'abc'), cover('S2', 'def')];
  const ones = Object.fromEntries('abcdef'.split('').map((e) => [e, 1]));
  const { codes, gains } = pick(sets, ones, 2);
  expect(codes[0]).toBe('G');
  expect(sum(gains)).toBe(5);
  expect(worth(sets.slice(1), ones)).toBe(6);
  expect(sum(gains) / 6).toBeGreaterThanOrEqual(1 - (1 - 1 / 2) ** 2);
});

describe('brute force over every allowed set', () => {
  const CAUSES = ['A', 'B', 'C', 'D', 'E'];
  const SHARES = [0.25, 0.45, 0.65];
  const drill = fc.record({
    family: fc.constantFrom('x', 'y', 'z', 'w'),
    removes: fc.dictionary(fc.constantFrom(...CAUSES), fc.constantFrom(...SHARES), {
      minKeys: 1,
      maxKeys: 3,
    }),
  });
  const drillsOf = fc
    .array(drill, { minLength: 1, maxLength: 9 })
    .map((list): Plain[] => list.map((d, i) => ({ ...d, code: `d${i}` })));
  const values = fc
    .tuple(...CAUSES.map(() => fc.integer({ min: 1, max: 1000 })))
    .map((list) => Object.fromEntries(CAUSES.map((c, i) => [c, (list[i] as number) / 100])));
  const places = fc.integer({ min: 1, max: 4 });

  function best(drills: readonly Plain[], v: { [cause: string]: number }, k: number): number {
    const from = (i: number, set: readonly Plain[]): number => {
      const next = drills[i];
      if (next === undefined || set.length === k) return worth(set, v);
      const without = from(i + 1, set);
      if (set.some((d) => d.family === next.family)) return without;
      return Math.max(without, from(i + 1, [...set, next]));
    };
    return from(0, []);
  }

  test('one of a family: gains add up to the worth of the set, which is at least half of the best', () => {
    fc.assert(
      fc.property(drillsOf, values, places, (drills, v, k) => {
        const { codes, gains } = pick(drills, v, k);
        const chosen = drills.filter((d) => codes.includes(d.code));
        expect(codes.length).toBeLessThanOrEqual(k);
        expect(new Set(chosen.map((d) => d.family)).size).toBe(codes.length);
        expect(sum(gains)).toBeCloseTo(worth(chosen, v), 10);
        expect(sum(gains)).toBeGreaterThanOrEqual(best(drills, v, k) / 2 - 1e-9);
      }),
      { numRuns: 300, seed: 25 },
    );
  });

  test('free choice of k: at least 1 - (1 - 1/k)^k of the best, and every further drill gains less', () => {
    fc.assert(
      fc.property(drillsOf, values, places, (drills, v, k) => {
        const alone = drills.map((d) => ({ ...d, family: d.code }));
        const { gains } = pick(alone, v, k);
        expect(sum(gains)).toBeGreaterThanOrEqual((1 - (1 - 1 / k) ** k) * best(alone, v, k) - 1e-9);
        gains.slice(1).forEach((gain, i) => {
          expect(gain).toBeLessThanOrEqual((gains[i] as number) + 1e-9);
        });
      }),
      { numRuns: 300, seed: 26 },
    );
  });
});
