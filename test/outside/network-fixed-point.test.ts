/**
 * The answer of the loop on the shipped network, checked by hand as a reader would: each number from those printed
 * beside it, by the formulas of noisy-OR and virtual evidence (Pearl 1988) written out a second time.
 */
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Network, networkOf } from '../../src/assess/network/network.ts';
import { type Inputs, propagate } from '../../src/assess/network/propagate.ts';
import { LEVELS } from '../../src/contract/common.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { CERTAIN, SETTINGS, settle } from './small-network.ts';
import { read, records } from './weighed-records.ts';

const { propagation } = ruleSet.parts.constants;

const dB = (ratio: number): number => 10 * Math.log10(ratio);
const p = (db: number): number => 1 / (1 + 10 ** (-db / 10));
const weight = (reportDb: number, s: number, g: number): number => {
  const lambda = 10 ** (reportDb / 10);
  return dB((lambda * s + 1 - s) / (lambda * g + 1 - g));
};

function inputsFor(net: Network, reportDb: Float64Array, fixed?: { node: number; db: number }): Inputs {
  return {
    reportDb,
    assessed: Uint8Array.from(reportDb, (db) => (db === 0 ? 0 : 1)),
    fixedDb: Float64Array.from(net.nodes, (_, n) => (n === fixed?.node ? fixed.db : 0)),
    active: new Uint8Array(net.pairs.length).fill(1),
  };
}

describe('the answer of the loop', () => {
  test('is a fixed point within 1e-6 dB', () => {
    fc.assert(
      fc.property(records, (request) => {
        const { network, beliefs, inputs } = read(request);
        expect(beliefs.method).toBe('propagation');
        const chance = (list: readonly number[]): number =>
          Math.max(0, ...list.map((i) => inputs.active[i]! * network.pairs[i]!.q * beliefs.without[i]!));
        const near = (a: number, b: number): void => expect(Math.abs(a - b)).toBeLessThan(1e-6);
        network.nodes.forEach((node, n) => {
          const base = 1 - node.drivers.reduce((none, l) => none * (1 - chance(l)), 1 - node.leak);
          const counted = node.children.reduce((sum, i) => sum + beliefs.countedDb[i]!, 0);
          near(beliefs.logOddsDb[n]!, dB(base / (1 - base)) + inputs.fixedDb[n]! + counted);
        });
        network.pairs.forEach((pair, i) => {
          const child = network.children[pair.child]!;
          const report = child.node < 0 ? inputs.reportDb[pair.child]! : beliefs.passedUpDb[child.node]!;
          const rivals = child.rivals.filter((list) => !list.includes(i));
          const g = 1 - rivals.reduce((none, l) => none * (1 - chance(l)), 1 - child.leak);
          const speaks = report !== 0 && inputs.active[i] === 1;
          near(beliefs.weightDb[i]!, speaks ? weight(report, 1 - (1 - g) * (1 - pair.q), g) : 0);
          near(beliefs.countedDb[i]!, beliefs.weightDb[i]! * beliefs.factor[i]!);
          near(beliefs.without[i]!, p(beliefs.logOddsDb[pair.node]! - beliefs.countedDb[i]!));
        });
      }),
      { numRuns: 60, seed: 22 },
    );
  });
});

describe('a likelier rival', () => {
  test.each(LEVELS.flatMap((level) => [10, -10].map((report) => ({ level, report }))))(
    'takes weight from every other line about the same finding: $level, $report dB',
    ({ level, report }) => {
      const net = networkOf(ruleSet, level);
      let moved = 0;
      net.children.forEach((child, c) => {
        if (child.node >= 0) return;
        const reportDb = new Float64Array(net.children.length);
        reportDb[c] = report;
        const before = propagate(net, inputsFor(net, reportDb), propagation).weightDb;
        for (const rival of child.rivals) {
          const node = net.pairs[rival[0]!]!.node;
          const after = propagate(net, inputsFor(net, reportDb, { node, db: 6 }), propagation).weightDb;
          for (const i of child.rivals.filter((list) => list !== rival).flat()) {
            // towards nothing: down when it was seen, up when it was absent
            const change = (after[i]! - before[i]!) * Math.sign(report);
            expect(change, `${child.key}: ${net.pairs[i]!.rule}`).toBeLessThanOrEqual(1e-8);
            if (change < -1e-3) moved++;
          }
        }
      });
      expect(moved).toBeGreaterThan(50);
    },
  );
});

describe('lines of one group', () => {
  const net = networkOf(ruleSet, 'intermediate');
  const sided = new Set(net.strongerSide.flat());
  // where two sides compete as well, the weaker side is out before the group is counted
  const groups = net.groups.filter((group) => group.every((i) => !sided.has(i)));
  const looks: Arbitrary<Float64Array> = fc
    .array(fc.constantFrom(0, 0, 0, 5, 10, 15, -5, -10, -15), {
      minLength: net.children.length,
      maxLength: net.children.length,
    })
    .map((list) => Float64Array.from(list));

  test.each([
    ['the largest alone', 0],
    ['the next half, the third a quarter', 0.5],
    ['all of them whole', 1],
  ])('count %s at a discount of %d', (_, groupDiscount) => {
    let several = 0;
    fc.assert(
      fc.property(looks, (reportDb) => {
        const settings = { ...propagation, groupDiscount };
        const { weightDb, countedDb } = propagate(net, inputsFor(net, reportDb), settings);
        for (const group of groups) {
          for (const sign of [1, -1]) {
            const told = group.filter((i) => weightDb[i]! * sign > 0);
            const sizes = told.map((i) => Math.abs(weightDb[i]!)).sort((a, b) => b - a);
            const expected = sizes.reduce((sum, w, k) => sum + w * groupDiscount ** k, 0);
            const counted = told.reduce((sum, i) => sum + Math.abs(countedDb[i]!), 0);
            expect(Math.abs(counted - expected)).toBeLessThan(1e-6);
            if (told.length > 1) several++;
          }
        }
      }),
      { numRuns: 40, seed: 23 },
    );
    expect(several).toBeGreaterThan(40);
  });

  test('never count less for one more that agrees', () => {
    const share = fc.double({ min: 0.05, max: 0.9, noNaN: true });
    const members = fc.array(share, { minLength: 2, maxLength: 6 });
    const discount = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(members, discount, fc.constantFrom(CERTAIN, -CERTAIN, 10, -10), (qs, groupDiscount, db) => {
        const names = qs.map((_, i) => `f${i}`);
        const all = <T>(value: T): { [name: string]: T } => Object.fromEntries(names.map((n) => [n, value]));
        const links = names.map((finding, i) => ({ cause: 'c', finding, q: qs[i] as number, group: 'g' }));
        const small = { causes: { c: 0.2 }, findings: all(0.1), links, reports: all(db) };
        const { f0: _, ...fewer } = small.reports;
        const settings = { ...SETTINGS, groupDiscount };
        const gain = (reports: { [name: string]: number }): number =>
          Math.abs(settle({ ...small, reports }, settings).beliefs.passedUpDb[0] as number);
        expect(gain(small.reports)).toBeGreaterThanOrEqual(gain(fewer) - 1e-9);
      }),
      { numRuns: 60, seed: 24 },
    );
  });
});
