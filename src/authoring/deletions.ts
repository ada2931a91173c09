/** Deletes each rule in turn and finds out whether any case notices. A rule that nobody misses is not covered. */
import { createStage, type Stage } from '../engine/stage.ts';
import { expand } from '../knowledge/expand.ts';
import { type AuthoredRule, RULE_PARTS, type RulePart } from '../knowledge/parts.ts';
import type { RuleSet, Stages } from '../knowledge/rule-set.ts';
import { type Case, checkCase } from './cases.ts';
import type { Counted } from './coverage/counter.ts';
import { STAGE_OF } from './coverage/targets.ts';

export interface Deletion {
  readonly part: RulePart;
  readonly rule: string;
  /** The first case that turned red; null when none did. */
  readonly noticedBy: string | null;
}

/** The rule set without one rule; only the stage that runs it is made anew. */
function without(ruleSet: RuleSet, part: RulePart, rule: AuthoredRule): RuleSet {
  const { parts, catalogue, facts, words, stages } = ruleSet;
  const [key, stage] = Object.entries(stages).find(([, s]) => s.name === STAGE_OF[part]) as [
    keyof Stages,
    Stage<unknown>,
  ];
  const gone = new Set(expand([rule], parts, catalogue).map((r) => `${r.id}@${r.side}`));
  const left = stage.rules.filter((r) => !gone.has(`${r.id}@${r.side}`));
  return {
    ...ruleSet,
    parts: { ...parts, [part]: (parts[part] as readonly AuthoredRule[]).filter((r) => r.id !== rule.id) },
    stages: { ...stages, [key]: createStage(stage.name, left, facts, words) },
  };
}

/** Cases that speak of the rule's own words come first: they are the likeliest to notice. */
function likeliestFirst(cases: readonly Case[], rule: string): Case[] {
  const words = rule.split('--').filter((w) => w.length > 3);
  const overlap = (c: Case): number => {
    const text = JSON.stringify(c);
    return words.filter((w) => text.includes(`"${w}"`)).length;
  };
  return cases
    .map((c) => [overlap(c), c] as const)
    .sort((a, b) => b[0] - a[0])
    .map(([, c]) => c);
}

/**
 * @param counted how each rule fared over these cases, in their order: a rule is only missed where it fired.
 * @returns one entry for each rule, in the order of the parts.
 */
export function deleteEach(
  ruleSet: RuleSet,
  cases: readonly Case[],
  counted: readonly Counted[],
): readonly Deletion[] {
  const places = new Map(counted.map((c) => [`${c.target.part} ${c.target.rule.id}`, c.firedIn]));
  return RULE_PARTS.flatMap((part) =>
    (ruleSet.parts[part] as readonly AuthoredRule[]).map((rule): Deletion => {
      const fired = (places.get(`${part} ${rule.id}`) ?? []).map((i) => cases[i] as Case);
      if (fired.length === 0) return { part, rule: rule.id, noticedBy: null };
      const changed = without(ruleSet, part, rule);
      const noticed = likeliestFirst(fired, rule.id).find((c) => checkCase(c, changed).length > 0);
      return { part, rule: rule.id, noticedBy: noticed?.id ?? null };
    }),
  );
}
