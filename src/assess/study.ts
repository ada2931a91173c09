/**
 * Stages 1 to 6 over one record: from the health gate to the focus. An assessment runs it once with the rule
 * engine; the next look runs it again for "seen" and "not seen" of each candidate.
 */
import type { Focus } from '../contract/answer.ts';
import type { Slots } from '../engine/facts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type ListedCauses, listCauses, publishCauses, rankCauses } from './causes.ts';
import { type Evidence, gatherEvidence } from './evidence.ts';
import { derivedFlags, type EntriesByFact, readFacts, setFact } from './facts.ts';
import { type Findings, readFindings } from './findings.ts';
import { chooseFocus, type FocusPlan } from './focus.ts';
import { type Gate, healthGate } from './health-gate.ts';
import { type Weighed, weigh } from './network/weigh.ts';
import { type Flow, fire } from './pipeline.ts';
import type { Record } from './record.ts';

export interface Stopped {
  readonly status: 'stop';
  readonly gate: Gate;
  readonly focus: readonly Focus[];
}

export interface Concluded {
  readonly status: 'refer' | 'ask-more' | 'ok';
  readonly gate: Gate;
  readonly slots: Slots;
  /** The facts as they were before the findings were read, and the entries behind them. */
  readonly before: { readonly slots: Slots; readonly entries: EntriesByFact };
  readonly flags: readonly string[];
  readonly findings: Findings;
  readonly evidence: Evidence;
  readonly weighed: Weighed;
  readonly listed: ListedCauses;
  /** Why the record cannot carry a conclusion; empty when it can. */
  readonly insufficient: readonly string[];
  readonly plan: FocusPlan;
  readonly focus: readonly Focus[];
}

export type Study = Stopped | Concluded;

export function* study(record: Record, ruleSet: RuleSet): Flow<Study> {
  const { slots, entries } = readFacts(record, ruleSet);
  const gate = yield* healthGate(slots, ruleSet);
  if (gate.status === 'stop') return { status: 'stop', gate, focus: [] };

  const before = { slots: slots.slice(), entries };
  const flags = [...(record.recording.flags ?? []), ...derivedFlags(record, ruleSet)];
  const findings = yield* readFindings(slots, entries, flags, ruleSet);
  const evidence = yield* gatherEvidence(slots, findings, ruleSet);
  const weighed = weigh(findings, evidence, record.swimmer.level, ruleSet);
  const listed = listCauses(weighed, evidence, findings, record, ruleSet);
  publishCauses(listed, weighed, slots, ruleSet);

  const insufficient = (yield* fire(ruleSet.stages.sufficiency, slots)).map((f) => f.params.code);
  setFact(ruleSet, slots, 'insufficient', insufficient);
  const plan = yield* chooseFocus(slots, listed.causes, findings, weighed, gate, record, ruleSet);
  const status = gate.status === 'refer' ? 'refer' : insufficient.length > 0 ? 'ask-more' : 'ok';
  const ranked = { ...listed, causes: rankCauses(listed.causes, plan.focus) };
  return {
    status,
    gate,
    slots,
    before,
    flags,
    findings,
    evidence,
    weighed,
    listed: ranked,
    insufficient,
    plan,
    focus: plan.focus,
  };
}
