/** Random records put into the shipped network, and the lines that come out. */
import fc, { type Arbitrary } from 'fast-check';
import { type Evidence, gatherEvidence } from '../../src/assess/evidence.ts';
import { derivedFlags, readFacts } from '../../src/assess/facts.ts';
import { type Findings, readFindings } from '../../src/assess/findings.ts';
import type { Child, Pair } from '../../src/assess/network/network.ts';
import { type Weighed, weigh } from '../../src/assess/network/weigh.ts';
import { runFlowNow } from '../../src/assess/pipeline.ts';
import { toRecord } from '../../src/assess/record.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { requests } from '../assess/arbitraries.ts';
import { ruleSet as shipped } from '../assess/front-crawl.ts';

/** What the network reads of a request; health and the coach's choices change no probability. */
export const records: Arbitrary<AssessmentRequest> = requests({
  health: fc.constant(undefined),
  coach: fc.constant(undefined),
});

export interface Read extends Weighed {
  readonly findings: Findings;
  readonly evidence: Evidence;
}

export function read(request: AssessmentRequest, ruleSet: RuleSet = shipped): Read {
  const record = toRecord(request, ruleSet);
  const { slots, entries } = readFacts(record, ruleSet);
  const flags = [...(record.recording.flags ?? []), ...derivedFlags(record, ruleSet)];
  const findings = runFlowNow(readFindings(slots, entries, flags, ruleSet));
  const evidence = runFlowNow(gatherEvidence(slots, findings, ruleSet));
  return { ...weigh(findings, evidence, record.swimmer.level, ruleSet), findings, evidence };
}

/** Log-odds by cause and mechanism, whatever their order in the network. */
export const totals = ({ network, beliefs }: Weighed): Map<string, number> =>
  new Map([...network.nodeOf].map(([key, n]) => [key, beliefs.logOddsDb[n] as number]));

export interface Line {
  readonly pair: Pair;
  readonly child: Child;
  /** Weight in dB of what is known of the child. */
  readonly reportDb: number;
  /** After other causes took their share, and what of it counts. */
  readonly weightDb: number;
  readonly countedDb: number;
  readonly background: number;
  readonly seenIfCause: number;
}

/** Lines of all causes and mechanisms about findings and mechanisms of which something is known. */
export function linesOf({ network, beliefs, inputs }: Weighed): Line[] {
  return network.pairs.flatMap((pair, i) => {
    const child = network.children[pair.child] as Child;
    const reportDb = (
      child.node < 0 ? inputs.reportDb[pair.child] : beliefs.passedUpDb[child.node]
    ) as number;
    if (reportDb === 0 || inputs.active[i] === 0) return [];
    return [
      {
        pair,
        child,
        reportDb,
        weightDb: beliefs.weightDb[i] as number,
        countedDb: beliefs.countedDb[i] as number,
        background: beliefs.background[i] as number,
        seenIfCause: beliefs.seenIfCause[i] as number,
      },
    ];
  });
}
