/** "What if" reads again only what a look can touch: nobody may notice. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FindingState } from '../../src/assess/findings.ts';
import { runFlowNow } from '../../src/assess/pipeline.ts';
import { toRecord } from '../../src/assess/record.ts';
import { study } from '../../src/assess/study.ts';
import { type Look, studyWith, whatIf } from '../../src/assess/what-if.ts';
import type { Parts } from '../../src/knowledge/parts.ts';
import { compileRuleSet, type RuleSet } from '../../src/knowledge/rule-set.ts';
import { requests } from './arbitraries.ts';
import { ruleSet as shipped } from './front-crawl.ts';

/** Both loops stop when no line moves by more than 1e-9 dB. */
const SETTLED_DB = 1e-8;

const lookAt = (code: string): fc.Arbitrary<Look> => {
  const { sided, views } = shipped.observations.get(code)!;
  return fc.record({
    code: fc.constant(code),
    side: sided ? fc.constantFrom('left' as const, 'right' as const) : fc.constant('body' as const),
    view: fc.constantFrom(...views),
  });
};
const looks: fc.Arbitrary<Look> = fc.constantFrom(...shipped.observations.keys()).chain(lookAt);

const records = requests({
  health: fc.oneof(fc.constant(undefined), fc.constant({ asked: true })),
  coach: fc.constant(undefined),
});

/** Measured findings of an arm: a number without a side asks the eye, which may look from either side. */
const measuredOnArms = shipped.parts.reports
  .map((r) => r.event.params)
  .filter((p) => p.kind === 'measured' && shipped.observations.get(p.finding)?.sided)
  .map((p) => p.finding);

/** A gate that a look can close, and evidence that asks from where the swimmer was seen. */
const strict: RuleSet = compileRuleSet(
  shipped.manifest,
  {
    ...shipped.parts,
    'gate-rules': JSON.parse(
      JSON.stringify(shipped.parts['gate-rules']).replaceAll(
        '"seenAtLeast","value":3',
        '"seenAtLeast","value":2',
      ),
    ) as Parts['gate-rules'],
    modifiers: shipped.parts.modifiers.map((m, i) =>
      i % 9 === 0
        ? {
            ...m,
            scope: 'body',
            conditions: { all: [{ fact: 'views', operator: 'includesAnyOf', value: ['rear'] }] },
          }
        : m,
    ),
  },
  shipped.texts,
);

const sorted = (findings: ReadonlyMap<string, FindingState>): [string, FindingState][] =>
  [...findings].sort(([a], [b]) => (a < b ? -1 : 1));

/** @returns how often the look stopped the assessment, and how often it added a finding. */
function compare(
  ruleSet: RuleSet,
  arbitrary: fc.Arbitrary<Look>,
  seed: number,
): { stops: number; adds: number } {
  const met = { stops: 0, adds: 0 };
  fc.assert(
    fc.property(records, arbitrary, fc.boolean(), (request, look, present) => {
      const record = toRecord(request, ruleSet);
      const c = runFlowNow(study(record, ruleSet));
      if (c.status === 'stop') return;
      const nodes = [...c.weighed.network.nodes.keys()];
      const quick = whatIf(nodes, look, present, c, record, ruleSet);
      const whole = studyWith(look, present, record, ruleSet);
      expect(quick === undefined).toBe(whole.status === 'stop');
      if (whole.status === 'stop') met.stops++;
      if (quick === undefined || whole.status === 'stop') return;
      expect(sorted(quick.findings)).toEqual(sorted(whole.findings));
      for (const n of nodes) {
        const gap = Math.abs(quick.totalsDb[n]! - whole.weighed.beliefs.logOddsDb[n]!);
        expect(gap, c.weighed.network.nodes[n]?.key).toBeLessThan(SETTLED_DB);
      }
      if (quick.findings.size > c.findings.size) met.adds++;
    }),
    { numRuns: 300, seed },
  );
  return met;
}

describe('a look that was not taken leaves the findings and log-odds of a study from the start', () => {
  test('whatever is looked at', () => {
    expect(compare(shipped, looks, 31).adds).toBeGreaterThan(100);
  });

  test('where a number without a side listens to the eye', () => {
    expect(measuredOnArms.length).toBeGreaterThan(5);
    expect(compare(shipped, fc.constantFrom(...measuredOnArms).chain(lookAt), 32).adds).toBeGreaterThan(100);
  });

  test('where the health gate stops at what is seen, and evidence asks for the views', () => {
    const painful = fc.constant('neck-or-back-complaint').chain(lookAt);
    expect(compare(strict, fc.oneof(looks, painful), 33).stops).toBeGreaterThan(10);
  });

  test('and the study that was asked stays as it was', () => {
    fc.assert(
      fc.property(records, looks, (request, look) => {
        const record = toRecord(request, shipped);
        const c = runFlowNow(study(record, shipped));
        if (c.status === 'stop') return;
        const copy = () =>
          structuredClone({ findings: c.findings, slots: c.slots, beliefs: c.weighed.beliefs });
        const before = copy();
        whatIf([0], look, true, c, record, shipped);
        expect(copy()).toEqual(before);
      }),
      { numRuns: 40, seed: 34 },
    );
  });
});
