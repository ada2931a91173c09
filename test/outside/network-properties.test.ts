/**
 * What any weighing of evidence by a noisy-OR network must do, whatever the record: on the shipped network with
 * random records. The formulas are those of Pearl 1988 (noisy-OR, virtual evidence) written out a second time.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LEVELS } from '../../src/contract/common.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { createRuleSet, type RuleSet } from '../../src/knowledge/rule-set.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { type Line, linesOf, read, records, totals } from './weighed-records.ts';

const runs = { numRuns: 40, seed: 20 };

const dB = (ratio: number): number => 10 * Math.log10(ratio);
const p = (db: number): number => 1 / (1 + 10 ** (-db / 10));
const weight = (reportDb: number, s: number, g: number): number => {
  const lambda = 10 ** (reportDb / 10);
  return dB((lambda * s + 1 - s) / (lambda * g + 1 - g));
};

function expectSame(a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>, within: number): void {
  expect([...a.keys()].sort()).toEqual([...b.keys()].sort());
  for (const [key, db] of a) expect(Math.abs(db - (b.get(key) as number)), key).toBeLessThanOrEqual(within);
}

describe('nothing seen', () => {
  test.each(LEVELS)('leaves every prior of the %s as it is', (level) => {
    const { network, beliefs } = read({ swimmer: { level } });
    const words = ruleSet.parts.constants.words;
    const prior = (n: number): number => {
      const cause = ruleSet.causes.get(network.nodes[n]!.code)!;
      return cause.role === 'mechanism'
        ? words.background[cause.background!]!
        : words.prior[cause.prior![level]]!;
    };
    // a mechanism may be driven by another
    const chance = (n: number): number =>
      1 -
      network.nodes[n]!.drivers.reduce((none, sides) => {
        const shares = sides.map((i) => network.pairs[i]!.q * chance(network.pairs[i]!.node));
        return none * (1 - Math.max(...shares));
      }, 1 - prior(n));
    network.nodes.forEach((node, n) => {
      if (node.drivers.length === 0)
        expect(beliefs.logOddsDb[n], node.key).toBeCloseTo(dB(prior(n) / (1 - prior(n))), 12);
      else expect(p(beliefs.logOddsDb[n]!), node.key).toBeCloseTo(chance(n), 9);
    });
  });
});

describe('what was not looked at', () => {
  test('changes nothing: without the links of unseen findings every cause stands where it stood', () => {
    fc.assert(
      fc.property(records, (request) => {
        const full = read(request);
        const seen = new Set([...full.findings.values()].map((f) => f.code));
        const links = ruleSet.parts.links.filter((l) => seen.has(l.event.params.finding));
        const cut: RuleSet = { ...ruleSet, parts: { ...ruleSet.parts, links } };
        expectSame(totals(read(request, cut)), totals(full), 1e-7);
      }),
      runs,
    );
  });
});

describe('what no view could show', () => {
  // codes that speak for findings under water only, and that no clue asks for
  const hidden = ruleSet.flags
    .get('above-water-only')!
    .caps.filter((c) => c.view === 'cannot-show')
    .flatMap((c) => c.findings);
  const asked = JSON.stringify(ruleSet.parts.modifiers.map((m) => m.conditions));
  const reported = (code: string): string[] =>
    ruleSet.stages.reports.rules
      .filter((r) => JSON.stringify(r.conditions).includes(`"${code}`))
      .map((r) => r.event.params.finding);
  const silent = hidden.filter(
    (code) => !asked.includes(`"${code}"`) && reported(code).every((f) => hidden.includes(f)),
  );

  test.each(silent)('%s moves some cause when a view can show it', (code) => {
    const looked = (observations: NonNullable<AssessmentRequest['observations']>): Map<string, number> =>
      totals(read({ swimmer: { level: 'novice' }, recording: { views: ['side-under'] }, observations }));
    const seen = looked([{ code, side: 'left', severity: 2, certainty: 'sure' }]);
    const moves = [...looked([])].map(([key, db]) => Math.abs(db - (seen.get(key) as number)));
    expect(Math.max(...moves)).toBeGreaterThan(1);
  });

  test('changes nothing when it is claimed all the same', () => {
    const claim = fc.record({
      code: fc.constantFrom(...silent),
      side: fc.constantFrom('left' as const, 'right' as const),
      severity: fc.integer({ min: 0, max: 3 }),
      certainty: fc.constantFrom('sure' as const, 'likely' as const, 'unsure' as const),
    });
    fc.assert(
      fc.property(records, fc.array(claim, { minLength: 1, maxLength: 3 }), (request, claims) => {
        const recording = { ...request.recording, views: ['overhead' as const], clips: [] };
        const dry = {
          ...request,
          recording,
          observations: (request.observations ?? []).map(({ view: _, ...o }) => o),
          measurements: (request.measurements ?? []).map(({ view: _, ...m }) => m),
        };
        const more = { ...dry, observations: [...dry.observations, ...claims] };
        expectSame(totals(read(more)), totals(read(dry)), 0);
      }),
      runs,
    );
  });
});

describe('the order of rules, causes and findings', () => {
  test('changes nothing', () => {
    const { parts } = ruleSet;
    const order = fc.record({
      links: fc.shuffledSubarray([...parts.links], { minLength: parts.links.length }),
      modifiers: fc.shuffledSubarray([...parts.modifiers], { minLength: parts.modifiers.length }),
      reports: fc.shuffledSubarray([...parts.reports], { minLength: parts.reports.length }),
      drivers: fc.shuffledSubarray([...parts.drivers], { minLength: parts.drivers.length }),
      causes: fc.shuffledSubarray([...parts.causes], { minLength: parts.causes.length }),
      findings: fc.shuffledSubarray([...parts.findings], { minLength: parts.findings.length }),
    });
    fc.assert(
      fc.property(order, fc.array(records, { minLength: 4, maxLength: 4 }), (shuffled, list) => {
        const other = createRuleSet(ruleSet.manifest, { ...parts, ...shuffled }, ruleSet.texts);
        for (const request of list) expectSame(totals(read(request, other)), totals(read(request)), 1e-9);
      }),
      { numRuns: 20, seed: 21 },
    );
  });
});

describe('each line', () => {
  const everyLine = (check: (line: Line) => void): void => {
    let count = 0;
    fc.assert(
      fc.property(records, (request) => {
        for (const line of linesOf(read(request))) {
          count++;
          check(line);
        }
      }),
      runs,
    );
    expect(count).toBeGreaterThan(1000);
  };

  test('of something seen never speaks against its cause, and never more than a sure look at a lone cause', () => {
    everyLine(({ reportDb, countedDb, pair, child }) => {
      if (reportDb < 0) return;
      expect(countedDb).toBeGreaterThanOrEqual(0);
      expect(countedDb).toBeLessThanOrEqual(dB(pair.shows / child.leak) + 1e-9);
    });
  });

  test('of something absent never speaks for its cause, and never below a sure look', () => {
    everyLine(({ reportDb, countedDb, pair }) => {
      if (reportDb > 0) return;
      expect(countedDb).toBeLessThanOrEqual(0);
      expect(countedDb).toBeGreaterThanOrEqual(dB(1 - pair.q) - 1e-9);
    });
  });

  test('grows with the report, through nothing at nothing', () => {
    everyLine(({ reportDb, weightDb, seenIfCause, background }) => {
      const at = (db: number): number => weight(db, seenIfCause, background);
      expect(Math.abs(weightDb - at(reportDb))).toBeLessThan(1e-6);
      expect(at(reportDb + 1)).toBeGreaterThan(weightDb);
      expect(at(reportDb - 1)).toBeLessThan(weightDb);
      expect(Math.abs(at(0))).toBeLessThan(1e-9);
    });
  });
});
