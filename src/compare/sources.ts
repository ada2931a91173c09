/** Which observations and measurements report on a finding: the way from a number to what the eye sees, and back. */
import { leavesOf } from '../engine/conditions.ts';
import type { ReportParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

interface Source {
  readonly code: string;
  readonly finding: string;
  readonly params: ReportParams;
}

function sourcesOf(ruleSet: RuleSet): Source[] {
  return ruleSet.parts.reports.flatMap(({ conditions, event: { params } }) => {
    const words = params.kind === 'measured' ? ruleSet.measurements : ruleSet.observations;
    const facts = leavesOf(conditions).map((leaf) => leaf.fact);
    return facts.filter((fact) => words.has(fact)).map((code) => ({ code, finding: params.finding, params }));
  });
}

export type MeasuredParams = Extract<ReportParams, { kind: 'measured' }>;

/** What a measurement says about findings: one entry for each rule that reads it. */
export function readingsOf(measurement: string, ruleSet: RuleSet): MeasuredParams[] {
  return sourcesOf(ruleSet).flatMap(({ code, params }) =>
    code === measurement && params.kind === 'measured' ? [params] : [],
  );
}

/** Measurements that report on a finding. */
export function measurementsOf(finding: string, ruleSet: RuleSet): string[] {
  const sources = sourcesOf(ruleSet).filter((s) => s.finding === finding && s.params.kind === 'measured');
  return [...new Set(sources.map((s) => s.code))];
}

/** The finding itself and everything that says more or less of it: good form and numbers; not what merely excludes it. */
export function reportersOf(finding: string, ruleSet: RuleSet): string[] {
  const sources = sourcesOf(ruleSet).filter((s) => s.finding === finding && s.params.kind !== 'excluded');
  return [...new Set([finding, ...sources.map((s) => s.code)])];
}
