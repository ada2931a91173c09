/**
 * The same maths written plainly: what a careful programmer writes with the JSON files, json-rules-engine's rule format
 * and the description of the method at hand, and no wish to be fast. Facts stand in a map by name, conditions are
 * walked as they are written, causes and findings are objects in lists, the propagation is a loop over all pairs in
 * decibans, and a "what if" assesses the record again. What can be prepared from the rules alone is prepared once, as
 * anybody would. Nothing is made slow on purpose, and nothing is shared with src but types, the written-out rules and
 * the vocabulary.
 *
 * It answers with every number of an assessment and leaves out its words, the session, the cautions, the messages and
 * the id of the decision: the service does more for its time.
 */
import type { Level, Side } from '../../../src/contract/common.ts';
import { leavesOf } from '../../../src/engine/conditions.ts';
import type { RuleInstance } from '../../../src/engine/stage.ts';
import type {
  AdjustParams,
  CauseEntry,
  DeductionParams,
  DrillEntry,
  EvidenceParams,
  ExcludeParams,
  FindingEntry,
  GateParams,
  ObservationEntry,
  Parts,
  PrincipleParams,
  QualityFlag,
  ReportParams,
  SufficiencyParams,
} from '../../../src/knowledge/parts.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';
import { buildNetwork, type Network } from './network.ts';

/** The rules as data: parts as the author wrote them, rules written out for each arm. */
export interface RuleBook {
  readonly parts: Parts;
  readonly gate: readonly RuleInstance<GateParams>[];
  readonly reports: readonly RuleInstance<ReportParams>[];
  readonly links: readonly RuleInstance<EvidenceParams>[];
  readonly modifiers: readonly RuleInstance<AdjustParams>[];
  readonly sufficiency: readonly RuleInstance<SufficiencyParams>[];
  readonly deductions: readonly RuleInstance<DeductionParams>[];
  readonly principles: readonly RuleInstance<PrincipleParams>[];
  readonly exclusions: readonly RuleInstance<ExcludeParams>[];
  readonly observations: ReadonlyMap<string, ObservationEntry>;
  readonly findings: ReadonlyMap<string, FindingEntry>;
  readonly causes: ReadonlyMap<string, CauseEntry>;
  readonly drills: ReadonlyMap<string, DrillEntry>;
  readonly flags: ReadonlyMap<string, QualityFlag>;
  /** Codes of observations and measurements that have a left and a right. */
  readonly sided: ReadonlySet<string>;
  readonly measured: ReadonlySet<string>;
  /** Lowest probability of each word. */
  readonly words: ReadonlyMap<string, number>;
  /** Names of the facts that the health gate asks for. */
  readonly gateFacts: ReadonlySet<string>;
  readonly networks: { readonly [L in Level]: Network };
}

const byCode = <T extends { code: string }>(entries: readonly T[]): Map<string, T> =>
  new Map(entries.map((entry) => [entry.code, entry]));

export function readRuleBook({ parts, stages }: RuleSet): RuleBook {
  const sided = [...parts.observations, ...parts.measurements].filter((x) => x.sided).map((x) => x.code);
  const network = (level: Level): Network => buildNetwork(parts, stages.evidence.rules, level);
  return {
    parts,
    gate: stages.gate.rules,
    reports: stages.reports.rules,
    links: stages.evidence.rules,
    modifiers: stages.modifiers.rules,
    sufficiency: stages.sufficiency.rules,
    deductions: stages.deductions.rules,
    principles: stages.principles.rules,
    exclusions: stages.exclusions.rules,
    observations: byCode(parts.observations),
    findings: byCode(parts.findings),
    causes: byCode(parts.causes),
    drills: byCode(parts.drills),
    flags: byCode(parts['quality-flags']),
    sided: new Set(sided),
    measured: new Set(parts.measurements.map((m) => m.code)),
    words: new Map(parts.constants.probabilityWords.map((w) => [w.word, w.from])),
    gateFacts: new Set(stages.gate.rules.flatMap((rule) => leavesOf(rule.conditions)).map((l) => l.fact)),
    networks: {
      novice: network('novice'),
      intermediate: network('intermediate'),
      advanced: network('advanced'),
    },
  };
}

export const keyOf = (code: string, side: Side): string => (side === 'body' ? code : `${code}@${side}`);
