/**
 * The parts of a rule set as a rule author writes them: one JSON file per part, one schema per file.
 * Schemas are strict, so that a misspelt field is an error with a place and not a rule that silently does less.
 */
import { z } from 'zod';
import { Code } from '../contract/common.ts';
import { Constants } from './schema/constants.ts';
import * as plan from './schema/plans.ts';
import * as rule from './schema/rules.ts';
import * as entry from './schema/vocabulary.ts';

export const Manifest = z.strictObject({
  name: Code,
  version: z.string().regex(/^\d+\.\d+\.\d+$/),
  status: z.enum(['draft', 'published', 'retired']),
  published: z.iso.date().optional().describe('Day of publishing; written by the command that publishes.'),
  title: z.string(),
  engine: z.string(),
  languages: z.array(z.string()).min(1),
  parts: z.array(z.string()),
});

/** Every part by its file name. The order is the order in which a reader meets the parts. */
export const PARTS = {
  constants: Constants,
  lists: entry.Lists,
  observations: z.array(entry.ObservationEntry),
  'quality-flags': z.array(entry.QualityFlag),
  measurements: z.array(entry.MeasurementEntry),
  findings: z.array(entry.FindingEntry),
  reports: z.array(rule.ReportRule),
  causes: z.array(entry.CauseEntry),
  links: z.array(rule.EvidenceRule),
  drivers: z.array(entry.DriverEntry),
  modifiers: z.array(rule.AdjustRule),
  deductions: z.array(rule.DeductionRule),
  principles: z.array(entry.PrincipleEntry),
  'principle-rules': z.array(rule.PrincipleRule),
  drills: z.array(entry.DrillEntry),
  'drill-exclusions': z.array(rule.ExcludeRule),
  sessions: z.array(entry.SessionTemplate),
  cautions: z.array(entry.CautionEntry),
  'gate-rules': z.array(rule.GateRule),
  'caution-rules': z.array(rule.CautionRule),
  'sufficiency-rules': z.array(rule.SufficiencyRule),
  'change-limits': z.array(entry.ChangeLimit),
  plans: z.array(plan.PlanTemplate),
  'plan-rules': z.array(plan.PlanRule),
  'plan-decisions': z.array(plan.PlanDecision),
} as const;

/** The parts that hold rules. */
export const RULE_PARTS = [
  'reports',
  'links',
  'modifiers',
  'deductions',
  'principle-rules',
  'drill-exclusions',
  'gate-rules',
  'caution-rules',
  'sufficiency-rules',
  'plan-rules',
] as const;

export type RulePart = (typeof RULE_PARTS)[number];
export type PartName = keyof typeof PARTS;
export type Parts = { readonly [K in PartName]: z.infer<(typeof PARTS)[K]> };
export type Manifest = z.infer<typeof Manifest>;

export type { Constants } from './schema/constants.ts';
export * from './schema/plans.ts';
export * from './schema/rules.ts';
export * from './schema/vocabulary.ts';
