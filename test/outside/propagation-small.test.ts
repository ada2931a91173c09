/**
 * Propagation on networks small enough to check by hand. The expected numbers were worked out outside this project:
 * by enumeration of all combinations in Python and, where said, by the junction tree of the package bayesjs.
 */
import { describe, expect, test } from 'vitest';
import { logOddsOf } from '../../src/assess/network/decibans.ts';
import { believed, predicted } from '../../src/assess/network/propagate.ts';
import { rangeOf } from '../../src/assess/network/range.ts';
import type { Constants } from '../../src/knowledge/parts.ts';
import { CERTAIN, enumerate, SETTINGS, type SmallNetwork, settle, showsAt } from './small-network.ts';
import { binsOf, LOOPY, STRONG, SUPPORTS, TREE } from './worked-networks.ts';

const CAUSES = ['A', 'B', 'C'];

describe('three causes on a tree (enumeration and the bayesjs junction tree agree on the answers)', () => {
  const settled = settle(TREE);
  const { beliefs, at } = settled;

  test.each([
    ['A', 0.832_226_170_4, 6.955_171_508_1],
    ['B', 0.479_147_929_8, -0.362_447_786_6],
    ['C', 0.097_024_740_9, -9.687_933_595_1],
  ])('%s ends at %d', (cause, p, total) => {
    expect(settled.p(cause)).toBeCloseTo(p, 9);
    expect(settled.db(cause)).toBeCloseTo(total, 8);
  });

  // cause, finding, counted, other cause, belief in it without the finding, chance of the finding without and with
  test.each([
    ['A', 'f1', 7.948_408_367_4, 'B', 0.408_223_847_8, 0.144_369_377_4, 0.900_152_144],
    ['A', 'f2', 5.027_363_053_9, 'C', 0.024_955_365_1, 0.070_941_037_7, 0.297_015_959_7],
    ['B', 'f1', 1.250_143_091_7, 'A', 0.443_072_603_1, 0.421_799_813_4, 0.562_497_624_2],
    ['C', 'f2', 6.230_672_098_7, 'A', 0.609_186_572_5, 0.190_826_063_6, 0.905_573_409_2],
  ])('line of %s for %s: %d dB after %s at %d', (cause, finding, counted, rival, without, none, seen) => {
    const line = at(cause, finding);
    expect(beliefs.countedDb[line]).toBeCloseTo(counted, 8);
    expect(beliefs.without[at(rival, finding)]).toBeCloseTo(without, 8);
    expect(beliefs.background[line]).toBeCloseTo(none, 8);
    expect(beliefs.seenIfCause[line]).toBeCloseTo(seen, 8);
  });

  test.each([
    ['B', 'f5', 7.929_834_216_1],
    ['C', 'f3', -3.131_069_684_2],
    ['B', 'f4', 0],
  ])('line of %s for %s, which has no rival or was not looked at: %d dB', (cause, finding, counted) => {
    expect(beliefs.countedDb[at(cause, finding)]).toBeCloseTo(counted, 8);
  });

  test('prior and lines add up to the total', () => {
    CAUSES.forEach((cause, n) => {
      const lines = settled.network.nodes[n]!.children.map((i) => beliefs.countedDb[i]!);
      const sum = lines.reduce((a, b) => a + b, logOddsOf(TREE.causes[cause]!));
      expect(sum).toBeCloseTo(settled.db(cause), 10);
    });
  });

  test.each([
    ['f2', 0.892_915_459_8],
    ['f4', 0.321_529_888_8],
    ['f5', 0.652_851_518_4],
  ])('belief in the finding %s, seen or not: %d', (finding, p) => {
    const { network, inputs } = settled;
    const child = network.childOf.get(finding)!;
    const share = predicted(network, beliefs, child, inputs.active);
    expect(believed(share, inputs.reportDb[child]!)).toBeCloseTo(p, 9);
  });

  test('90 % ranges, each word taken 2.5 dB either way', () => {
    const bins = { shows: binsOf(TREE), background: {} };
    const words = { bins, range: { wordHalfWidthDb: 2.5, sharedBias: 0.2 } } as unknown as Constants;
    const ranges = CAUSES.map((cause, n) => rangeOf(n, settled.db(cause), [], settled, words));
    const expected = [
      [0.630_578_937_7, 0.929_047_883_1],
      [0.276_313_173_6, 0.660_165_333_9],
      [0.010_754_751_1, 0.184_431_530_1],
    ];
    ranges.forEach(({ low, high }, i) => {
      expect(low).toBeCloseTo(expected[i]![0]!, 8);
      expect(high).toBeCloseTo(expected[i]![1]!, 8);
    });
  });

  test('one pass, when the loop may not turn: every rival at its own prior', () => {
    const once = settle(TREE, { ...SETTINGS, maxSweeps: 1, slowMaxSweeps: 1 });
    expect(once.beliefs.method).toBe('one-pass');
    const totals = CAUSES.map((cause) => once.db(cause).toFixed(4));
    expect(totals).toEqual(['9.2719', '1.1146', '-7.3491']);
    expect(CAUSES.map((cause) => once.p(cause).toFixed(4))).toEqual(['0.8943', '0.5638', '0.1555']);
  });

  test('two lines of one group: the second counts half, and the rival gains from it', () => {
    const grouped = settle({
      ...TREE,
      links: TREE.links.map((l) => (l.cause === 'A' ? { ...l, group: 'front' } : l)),
    });
    expect(grouped.db('A')).toBeCloseTo(4.441_489_981_1, 8);
    expect(grouped.db('B')).toBeCloseTo(0.275_696_236_4, 8);
    expect(grouped.db('C')).toBeCloseTo(-9.687_933_595_1, 8);
    expect(grouped.beliefs.factor[grouped.at('A', 'f2')]).toBe(0.5);
  });
});

describe('the same with one more link, which closes a loop', () => {
  test('settles near the exact answer: printed totals to 1e-6, exact within .03', () => {
    const settled = settle(LOOPY);
    const exact = enumerate(LOOPY);
    const printed = [0.924_027_896_5, 0.274_232_596_5, 0.083_233_229_2];
    const printedExact = [0.901_733_365_8, 0.286_102_990_8, 0.086_582_570_2];
    CAUSES.forEach((cause, i) => {
      expect(Math.abs(settled.p(cause) - printed[i]!)).toBeLessThan(1e-6);
      expect(exact.get(cause)).toBeCloseTo(printedExact[i]!, 9);
      expect(Math.abs(settled.p(cause) - exact.get(cause)!)).toBeLessThanOrEqual(0.03);
    });
  });
});

describe('noisy-OR (Pearl 1988; Jaakkola and Jordan 1999, section 2)', () => {
  test('background .1 and causes of .2 and .4 show .1, .28, .46 and .568', () => {
    const small: SmallNetwork = {
      causes: { A: 0.5, B: 0.5 },
      findings: { f: 0.1 },
      links: [
        { cause: 'A', finding: 'f', q: 0.2 },
        { cause: 'B', finding: 'f', q: 0.4 },
      ],
      reports: {},
    };
    const { network, inputs, beliefs } = settle(small);
    const shown = [
      [-CERTAIN, -CERTAIN],
      [CERTAIN, -CERTAIN],
      [-CERTAIN, CERTAIN],
      [CERTAIN, CERTAIN],
    ].map((sure) => {
      const known = { ...beliefs, logOddsDb: Float64Array.from(sure) };
      return predicted(network, known, 0, inputs.active);
    });
    [0.1, 0.28, 0.46, 0.568].forEach((p, i) => {
      expect(shown[i]).toBeCloseTo(p, 12);
    });
  });

  const rivals: SmallNetwork = {
    causes: { A: 0.2, B: 0.2 },
    findings: { f: 0.05 },
    links: [
      { cause: 'A', finding: 'f', q: 0.8 },
      { cause: 'B', finding: 'f', q: 0.8 },
    ],
    reports: { f: CERTAIN },
  };

  test('explaining away: the other cause known to be there or not moves .51 to .23 or .80', () => {
    const withB = (p: number): number => settle({ ...rivals, causes: { A: 0.2, B: p } }).p('A');
    expect(withB(0.2)).toBeCloseTo(0.509_827_711_7, 9);
    expect(withB(1 - 1e-12)).toBeCloseTo(0.228_938_6, 7);
    expect(withB(1e-12)).toBeCloseTo(0.801_980_2, 7);
  });

  test('a cause may fall when a finding that hints at it is added, through the other cause', () => {
    const more: SmallNetwork = {
      ...rivals,
      findings: { f: 0.05, f2: 0.05 },
      links: [
        ...rivals.links,
        { cause: 'A', finding: 'f2', q: 0.05 },
        { cause: 'B', finding: 'f2', q: 0.88 },
      ],
      reports: { f: CERTAIN, f2: CERTAIN },
    };
    const settled = settle(more);
    const exact = enumerate(more);
    expect(exact.get('A')).toBeCloseTo(0.287_368_6, 7);
    expect(exact.get('B')).toBeCloseTo(0.912_862_6, 7);
    expect(settled.p('A')).toBeCloseTo(0.276_177_2, 7);
    expect(settled.p('B')).toBeCloseTo(0.934_592_7, 7);
    expect(settled.beliefs.countedDb[settled.at('A', 'f2')]).toBeCloseTo(0.2385, 4);
    expect(settled.beliefs.countedDb[settled.at('A', 'f')]).toBeCloseTo(1.5976, 4);
  });
});

describe('a chain: cause, mechanism, two findings (brute force in Python agrees)', () => {
  const chain = (g2: number): SmallNetwork => ({
    causes: { R: 0.15 },
    mechanisms: { M: 0.1 },
    findings: { g1: 0.05, g2: 0.1 },
    links: [
      { cause: 'R', finding: 'M', shows: showsAt(SUPPORTS, 0.1) },
      { cause: 'M', finding: 'g1', shows: showsAt(STRONG, 0.05) },
      { cause: 'M', finding: 'g2', shows: showsAt(SUPPORTS, 0.1) },
    ],
    reports: { g1: CERTAIN, g2 },
  });

  test.each([
    ['seen with confidence', 15, 19.0179, 7.0779, 0.473_808, 0.942_068],
    ['certainly not there', -CERTAIN, 9.3689, 4.7764, 0.346_422, 0.638_081],
  ])('the second finding %s', (_, g2, passedUp, counted, cause, mechanism) => {
    const settled = settle(chain(g2));
    expect(settled.beliefs.passedUpDb[1]).toBeCloseTo(passedUp, 4);
    expect(settled.beliefs.countedDb[settled.at('R', 'M')]).toBeCloseTo(counted, 4);
    expect(settled.p('R')).toBeCloseTo(cause, 6);
    expect(settled.p('M')).toBeCloseTo(mechanism, 6);
    expect(settled.beliefs.countedDb[settled.at('R', 'M')]).toBeLessThan(SUPPORTS);
  });
});
