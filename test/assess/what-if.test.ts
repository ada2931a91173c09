/** "What if" reads again only what a look can touch: nobody may notice. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FindingState } from '../../src/assess/findings.ts';
import { runFlowNow } from '../../src/assess/pipeline.ts';
import { toRecord } from '../../src/assess/record.ts';
import { study } from '../../src/assess/study.ts';
import { type Look, studyWith, whatIf } from '../../src/assess/what-if.ts';
import { requests } from './arbitraries.ts';
import { ruleSet } from './front-crawl.ts';

/** Both loops stop when no line moves by more than 1e-9 dB. */
const SETTLED_DB = 1e-8;

const looks: fc.Arbitrary<Look> = fc.constantFrom(...ruleSet.parts.observations).chain((o) =>
  fc.record({
    code: fc.constant(o.code),
    side: o.sided ? fc.constantFrom('left' as const, 'right' as const) : fc.constant('body' as const),
    view: fc.constantFrom(...o.views),
  }),
);

const records = requests({
  health: fc.oneof(fc.constant(undefined), fc.constant({ asked: true })),
  coach: fc.constant(undefined),
});

const sorted = (findings: ReadonlyMap<string, FindingState>): [string, FindingState][] =>
  [...findings].sort(([a], [b]) => (a < b ? -1 : 1));

describe('a look that was not taken', () => {
  test('leaves the findings and the log-odds that a study from the start comes to', () => {
    let touched = 0;
    fc.assert(
      fc.property(records, looks, fc.boolean(), (request, look, present) => {
        const record = toRecord(request, ruleSet);
        const c = runFlowNow(study(record, ruleSet));
        if (c.status === 'stop') return;
        const nodes = [...c.weighed.network.nodes.keys()];
        const quick = whatIf(nodes, look, present, c, record, ruleSet);
        const whole = studyWith(look, present, record, ruleSet);
        expect(quick === undefined).toBe(whole.status === 'stop');
        if (quick === undefined || whole.status === 'stop') return;
        expect(sorted(quick.findings)).toEqual(sorted(whole.findings));
        nodes.forEach((n) => {
          const gap = Math.abs(
            (quick.totalsDb[n] as number) - (whole.weighed.beliefs.logOddsDb[n] as number),
          );
          expect(gap, c.weighed.network.nodes[n]?.key).toBeLessThan(SETTLED_DB);
        });
        if (sorted(quick.findings).length > c.findings.size) touched++;
      }),
      { numRuns: 400, seed: 31 },
    );
    expect(touched).toBeGreaterThan(100);
  });

  test('leaves the study that it was asked of as it was', () => {
    fc.assert(
      fc.property(records, looks, (request, look) => {
        const record = toRecord(request, ruleSet);
        const c = runFlowNow(study(record, ruleSet));
        if (c.status === 'stop') return;
        const before = structuredClone({ findings: c.findings, slots: c.slots, beliefs: c.weighed.beliefs });
        whatIf([0], look, true, c, record, ruleSet);
        expect({ findings: c.findings, slots: c.slots, beliefs: c.weighed.beliefs }).toEqual(before);
      }),
      { numRuns: 40, seed: 32 },
    );
  });
});
