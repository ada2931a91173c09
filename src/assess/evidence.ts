/**
 * Stage 3. Which links may speak (rules decide), and the fixed lines: clues, counters and facts about the record
 * itself, which are added to a cause and never explained away.
 */
import type { Side } from '../contract/common.ts';
import { type Condition, isLeaf, type LeafValue } from '../engine/conditions.ts';
import type { Measured, Seen, Slots } from '../engine/facts.ts';
import type { Fired } from '../engine/stage.ts';
import type { AdjustParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Findings, keyOf } from './findings.ts';
import { normalShareBelow } from './measured-grade.ts';
import { type Flow, fire } from './pipeline.ts';
import { isPlainFact } from './report-weights.ts';

export interface FixedLine {
  readonly rule: string;
  readonly cause: string;
  readonly side: Side;
  readonly role: AdjustParams['role'];
  readonly strength: string;
  /** Severity times certainty of the conditions, 0 to 1.2. */
  readonly weight: number;
  readonly groupFactor: number;
  readonly db: number;
  readonly leaves: readonly LeafValue[];
}

export interface Evidence {
  /** Every link that speaks, by its place in the evidence stage. */
  readonly links: ReadonlySet<number>;
  readonly fixed: readonly FixedLine[];
}

/**
 * How clearly a measured value passes the threshold of a rule: 1 without an error or far beyond, falling to 0 on the
 * threshold itself (chance of being beyond less the chance of falling short). A rule that asks only whether something
 * was measured has no threshold to pass.
 */
function clarityOf({ operator, value, actual }: LeafValue): number {
  const { value: measured, standardDeviation } = actual as Measured;
  if (!standardDeviation || typeof value !== 'number') return 1;
  const beyond = operator === 'measuredAtMost' ? value - measured : measured - value;
  return Math.max(0, 2 * normalShareBelow(beyond / standardDeviation) - 1);
}

function weightOfLeaf(leaf: LeafValue, ruleSet: RuleSet): number {
  const { severityFactor, certaintyFactor } = ruleSet.parts.constants.adjustments;
  const kind = ruleSet.catalogue.get(leaf.fact.split('@')[0] as string)?.kind;
  const { actual } = leaf;
  if (actual === undefined) return 1;
  if (kind === 'measured') return certaintyFactor[(actual as Measured).certainty] * clarityOf(leaf);
  if (kind !== 'seen') return 1;
  const seen = actual as Seen;
  const graded = !isPlainFact(ruleSet, leaf.fact.split('@')[0] as string);
  return certaintyFactor[seen.certainty] * (graded ? severityFactor[seen.severity] : 1);
}

/** `all`: the first part, lowered by any part below 1; `any`: the heaviest part that holds. */
function weightOf(
  condition: Condition,
  values: Iterator<LeafValue>,
  ruleSet: RuleSet,
  firstOnly: boolean,
): number {
  if (isLeaf(condition)) {
    const leaf = values.next().value as LeafValue;
    return leaf.truth === true ? weightOfLeaf(leaf, ruleSet) : 0;
  }
  if ('any' in condition)
    return Math.max(...condition.any.map((part) => weightOf(part, values, ruleSet, firstOnly)));
  const [first = 0, ...rest] = condition.all.map((part) => weightOf(part, values, ruleSet, firstOnly));
  return firstOnly ? first : rest.reduce((weight, part) => weight * Math.min(1, part), first);
}

function rawLine(
  fired: Fired<AdjustParams>,
  ruleSet: RuleSet,
): FixedLine & { readonly group: string | undefined } {
  const { cause, role, sign, strength, group, weighedBy } = fired.params;
  const leaves = fired.leaves();
  const weight = weightOf(fired.rule.conditions, leaves.values(), ruleSet, weighedBy === 'first');
  const db = sign * weight * (ruleSet.parts.constants.words.strength[strength] ?? 0);
  return {
    rule: fired.rule.id,
    cause,
    side: fired.rule.side,
    role,
    strength,
    weight,
    groupFactor: 1,
    db,
    leaves,
    group,
  };
}

/** Lines of one cause that say the same thing the same way: the k-th counts half of the one before. */
function discountGroups(lines: readonly ReturnType<typeof rawLine>[], discount: number): FixedLine[] {
  const groups = new Map<string, ReturnType<typeof rawLine>[]>();
  const bySize = [...lines].sort((a, b) => Math.abs(b.db) - Math.abs(a.db) || (a.rule < b.rule ? -1 : 1));
  return bySize
    .map(({ group, ...line }, i) => {
      if (group === undefined) return line;
      const key = `${keyOf(line.cause, line.side)}|${group}|${Math.sign(line.db)}`;
      const members = groups.get(key) ?? [];
      groups.set(key, [...members, bySize[i] as ReturnType<typeof rawLine>]);
      const groupFactor = discount ** members.length;
      return { ...line, groupFactor, db: line.db * groupFactor };
    })
    .filter((line) => line.db !== 0);
}

export function* gatherEvidence(slots: Slots, findings: Findings, ruleSet: RuleSet): Flow<Evidence> {
  const links = new Set<number>();
  if (findings.size > 0) {
    for (const { place } of yield* fire(ruleSet.stages.evidence, slots)) links.add(place);
  }
  const lines = (yield* fire(ruleSet.stages.modifiers, slots)).map((fired) => rawLine(fired, ruleSet));
  return { links, fixed: discountGroups(lines, ruleSet.parts.constants.propagation.groupDiscount) };
}
