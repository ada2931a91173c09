/**
 * How much one report counts, in decibans: the smallest of what the certainty, the severity and the view allow.
 * The values stand in the constants of the rule set; nothing seen on film is ever certain.
 */
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { SeenEntry } from './record.ts';

/** The swimmer was asked (possibly besides being watched). */
export function isAsked(ruleSet: RuleSet, code: string): boolean {
  return ruleSet.observations.get(code)?.views.includes('self-report') ?? false;
}

/** A test on land or a short probe in the pool, not film. */
export function isTested(ruleSet: RuleSet, code: string): boolean {
  const views = ruleSet.observations.get(code)?.views ?? [];
  return views.every((view) => view === 'land-test' || view === 'pool-probe');
}

/** A plain answer or land test: its size carries no grading error. */
export function isPlainFact(ruleSet: RuleSet, code: string): boolean {
  const views = ruleSet.observations.get(code)?.views;
  return views?.every((view) => view === 'self-report' || view === 'land-test') ?? false;
}

function certaintyDb(entry: SeenEntry, ruleSet: RuleSet): number {
  const { certaintyDb: table } = ruleSet.parts.constants.reports;
  const how = isAsked(ruleSet, entry.code) || isTested(ruleSet, entry.code) ? 'asked' : 'filmed';
  return table[how][entry.certainty];
}

/** "Slight" counts less because one grade of difference is within what two judges disagree by. */
export function severityCapDb(severity: number, ruleSet: RuleSet): number {
  return ruleSet.parts.constants.reports.severityCapDb[severity - 1] ?? Number.POSITIVE_INFINITY;
}

/** Size of a report on the observation's own finding (or on one that it excludes), in dB, always positive. */
export function reportDb(entry: SeenEntry, ruleSet: RuleSet): number {
  const certainty = certaintyDb(entry, ruleSet);
  if (entry.severity === 0 || isAsked(ruleSet, entry.code)) return certainty;
  return Math.min(certainty, severityCapDb(entry.severity, ruleSet));
}

/** Size of "the good form was seen": sometimes, mostly, always. */
export function goodFormDb(entry: SeenEntry, ruleSet: RuleSet): number {
  const cap = ruleSet.parts.constants.reports.goodCapDb[entry.severity - 1] ?? 0;
  return Math.min(certaintyDb(entry, ruleSet), cap);
}
