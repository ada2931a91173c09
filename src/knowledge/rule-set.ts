/** A rule set that is ready to answer: checked, written out, compiled and frozen. */
import { FactTable } from '../engine/conditions.ts';
import type { WordBounds } from '../engine/operators.ts';
import { createStage, type Stage } from '../engine/stage.ts';
import { checkRuleSet } from './check.ts';
import { digestOf } from './digest.ts';
import { RuleSetInvalid } from './errors.ts';
import { expand } from './expand.ts';
import { type FactSpec, factCatalogue } from './fact-catalogue.ts';
import type {
  AdjustParams,
  AuthoredRule,
  CautionParams,
  DeductionParams,
  EvidenceParams,
  ExcludeParams,
  GateParams,
  Manifest,
  Parts,
  PlanParams,
  PrincipleParams,
  ReportParams,
  SufficiencyParams,
} from './parts.ts';
import type { Texts } from './texts.ts';

type ByCode<T> = ReadonlyMap<string, T>;

export interface Stages {
  readonly gate: Stage<GateParams>;
  readonly reports: Stage<ReportParams>;
  readonly evidence: Stage<EvidenceParams>;
  readonly modifiers: Stage<AdjustParams>;
  readonly sufficiency: Stage<SufficiencyParams>;
  readonly deductions: Stage<DeductionParams>;
  readonly principles: Stage<PrincipleParams>;
  readonly exclusions: Stage<ExcludeParams>;
  readonly cautions: Stage<CautionParams>;
  readonly plan: Stage<PlanParams>;
}

export interface RuleSet {
  readonly manifest: Manifest;
  readonly digest: string;
  readonly parts: Parts;
  readonly texts: Texts;
  readonly facts: FactTable;
  readonly catalogue: ReadonlyMap<string, FactSpec>;
  readonly words: WordBounds;
  readonly stages: Stages;
  readonly observations: ByCode<Parts['observations'][number]>;
  readonly measurements: ByCode<Parts['measurements'][number]>;
  readonly findings: ByCode<Parts['findings'][number]>;
  readonly causes: ByCode<Parts['causes'][number]>;
  readonly flags: ByCode<Parts['quality-flags'][number]>;
  readonly drills: ByCode<Parts['drills'][number]>;
  readonly cautions: ByCode<Parts['cautions'][number]>;
}

function deepFreeze<T>(value: T): T {
  if (value !== null && typeof value === 'object' && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const part of Object.values(value)) deepFreeze(part);
  }
  return value;
}

function byCode<T extends { code: string }>(entries: readonly T[]): ByCode<T> {
  return new Map(entries.map((entry) => [entry.code, entry]));
}

/** @throws RuleSetInvalid with every fault of the rule set. */
export function createRuleSet(manifest: Manifest, parts: Parts, texts: Texts): RuleSet {
  const errors = checkRuleSet(parts, texts);
  if (errors.length > 0) throw new RuleSetInvalid(`${manifest.name}@${manifest.version}`, errors);
  return compileRuleSet(manifest, parts, texts);
}

/** Compiles parts that were checked before, or that are known to differ from checked ones in one entry only. */
export function compileRuleSet(manifest: Manifest, parts: Parts, texts: Texts): RuleSet {
  const catalogue = factCatalogue(parts);
  const facts = new FactTable();
  const words: WordBounds = new Map(parts.constants.probabilityWords.map((w) => [w.word, w.from]));
  const stage = <P>(name: string, rules: readonly unknown[]): Stage<P> =>
    createStage<P>(name, expand(rules as readonly AuthoredRule<P>[], parts, catalogue), facts, words);

  return {
    manifest: deepFreeze(manifest),
    // the status is not content: publishing a version must not change its address
    digest: digestOf({
      name: manifest.name,
      version: manifest.version,
      engine: manifest.engine,
      parts,
      texts,
    }),
    parts: deepFreeze(parts),
    texts: deepFreeze(texts),
    facts,
    catalogue,
    words,
    stages: {
      gate: stage('gate', parts['gate-rules']),
      reports: stage('reports', parts.reports),
      evidence: stage('evidence', parts.links),
      modifiers: stage('modifiers', parts.modifiers),
      sufficiency: stage('sufficiency', parts['sufficiency-rules']),
      deductions: stage('deductions', parts.deductions),
      principles: stage('principles', parts['principle-rules']),
      exclusions: stage('exclusions', parts['drill-exclusions']),
      cautions: stage('cautions', parts['caution-rules']),
      plan: stage('plan', parts['plan-rules']),
    },
    observations: byCode(parts.observations),
    measurements: byCode(parts.measurements),
    findings: byCode(parts.findings),
    causes: byCode(parts.causes),
    flags: byCode(parts['quality-flags']),
    drills: byCode(parts.drills),
    cautions: byCode(parts.cautions),
  };
}
