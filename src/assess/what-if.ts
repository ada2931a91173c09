/**
 * "What if": the record with one look more. It is worked out dozens of times for the next look, so only what the look
 * can touch is read again and only the log-odds are kept; the numbers are those of the record assessed anew.
 */
import type { Side, View } from '../contract/common.ts';
import type { FactValue } from '../engine/facts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { gatherEvidence } from './evidence.ts';
import { derivedFlags, factsOf, gateFacts, seenAs, viewsOf } from './facts.ts';
import { type Findings, readAgain } from './findings.ts';
import { totalsOf } from './network/weigh.ts';
import { runFlowNow } from './pipeline.ts';
import type { Record, SeenEntry } from './record.ts';
import { type Concluded, type Study, study } from './study.ts';

export interface Look {
  readonly code: string;
  readonly side: Side;
  readonly view: View;
}

export interface WhatIf {
  readonly findings: Findings;
  /** Log-odds in dB of the nodes that were asked for. */
  readonly totalsDb: readonly number[];
}

function entryOf(look: Look, present: boolean, ruleSet: RuleSet): SeenEntry {
  const { severity, certainty } = ruleSet.parts.constants.nextLook;
  return { ...look, certainty, severity: (present ? severity : 0) as SeenEntry['severity'] };
}

/** The record as it would be after the look. */
function withEntry(record: Record, entry: SeenEntry): Record {
  return { ...record, observations: [...record.observations, entry] };
}

/** The record after the look, studied from the start. */
export function studyWith(look: Look, present: boolean, record: Record, ruleSet: RuleSet): Study {
  return runFlowNow(study(withEntry(record, entryOf(look, present, ruleSet)), ruleSet));
}

/** A look from a new view may lift a flag of the film, and then every report counts anew. */
function keepsFlags(after: Record, c: Concluded, ruleSet: RuleSet): boolean {
  const flags = [...(after.recording.flags ?? []), ...derivedFlags(after, ruleSet)];
  return flags.join() === c.flags.join();
}

function fromTheStart(
  nodes: readonly number[],
  look: Look,
  present: boolean,
  record: Record,
  ruleSet: RuleSet,
): WhatIf | undefined {
  const whole = studyWith(look, present, record, ruleSet);
  if (whole.status === 'stop') return undefined;
  const { logOddsDb } = whole.weighed.beliefs;
  return { findings: whole.findings, totalsDb: nodes.map((n) => logOddsDb[n] as number) };
}

/** @returns undefined when the health gate would stop. */
export function whatIf(
  nodes: readonly number[],
  look: Look,
  present: boolean,
  c: Concluded,
  record: Record,
  ruleSet: RuleSet,
): WhatIf | undefined {
  const entry = entryOf(look, present, ruleSet);
  const facts = factsOf(ruleSet, look.code, look.side);
  const after = (viewsOf(record)?.includes(look.view) ?? true) ? undefined : withEntry(record, entry);
  if (
    facts.some((fact) => gateFacts(ruleSet).has(fact)) ||
    (after !== undefined && !keepsFlags(after, c, ruleSet))
  ) {
    return fromTheStart(nodes, look, present, record, ruleSet);
  }
  const slots = c.before.slots.slice();
  const seen = new Map(c.before.entries.seen);
  const changed: number[] = [];
  const put = (fact: string, value: FactValue): void => {
    const slot = ruleSet.facts.find(fact);
    if (slot === undefined) return;
    slots[slot] = value;
    changed.push(slot);
  };
  for (const fact of facts) {
    const entries = [...(seen.get(fact) ?? []), entry];
    seen.set(fact, entries);
    put(fact, seenAs(fact, entries, ruleSet));
  }
  if (after !== undefined) put('views', viewsOf(after));
  const entries = { seen, measured: c.before.entries.measured };
  const findings = readAgain(c.findings, look.code, changed, slots, entries, c.flags, ruleSet);
  const evidence = runFlowNow(gatherEvidence(slots, findings, ruleSet));
  return { findings, totalsDb: totalsOf(nodes, findings, evidence, record.swimmer.level, ruleSet) };
}
