/** Fixed lines: clues, counters and facts about the record, which are never explained away. */
import type { Side } from '../../../src/contract/common.ts';
import type { Condition, Leaf } from '../../../src/engine/conditions.ts';
import type { Measured, Seen } from '../../../src/engine/facts.ts';
import type { AdjustParams } from '../../../src/knowledge/parts.ts';
import { type Facts, firing, leafTruth, type Words } from './conditions.ts';
import { keyOf, type RuleBook } from './rule-book.ts';
import { clarity } from './weights.ts';

export interface FixedLine {
  readonly rule: string;
  readonly cause: string;
  readonly side: Side;
  readonly groupFactor: number;
  readonly db: number;
}

function weightOfLeaf({ fact, operator, value }: Leaf, facts: Facts, book: RuleBook): number {
  const { severityFactor, certaintyFactor } = book.parts.constants.adjustments;
  const code = fact.split('@')[0]!;
  const actual = facts.get(fact);
  if (actual === undefined) return 1;
  if (book.measured.has(code)) {
    const {
      value: measured,
      certainty,
      standardDeviation,
    } = actual as Measured & {
      readonly standardDeviation?: number;
    };
    return certaintyFactor[certainty] * clarity(measured, standardDeviation, operator, value);
  }
  const observation = book.observations.get(code);
  if (observation === undefined && !code.startsWith('finding:')) return 1;
  const seen = actual as Seen;
  const plain = observation?.views.every((v) => v === 'self-report' || v === 'land-test') ?? false;
  return certaintyFactor[seen.certainty] * (plain ? 1 : severityFactor[seen.severity]!);
}

/** `all`: the first part, lowered by any part below 1; `any`: the heaviest part that holds. */
function weightOf(
  condition: Condition,
  facts: Facts,
  words: Words,
  firstOnly: boolean,
  book: RuleBook,
): number {
  if ('fact' in condition) {
    return leafTruth(condition, facts, words) === true ? weightOfLeaf(condition, facts, book) : 0;
  }
  if ('any' in condition) {
    return Math.max(...condition.any.map((part) => weightOf(part, facts, words, firstOnly, book)));
  }
  const [first = 0, ...rest] = condition.all.map((part) => weightOf(part, facts, words, firstOnly, book));
  return firstOnly ? first : rest.reduce((weight, part) => weight * Math.min(1, part), first);
}

export function fixedLines(facts: Facts, words: Words, book: RuleBook): FixedLine[] {
  const { constants } = book.parts;
  const raw = firing<AdjustParams>(book.modifiers, facts, words).map(({ id, side, conditions, event }) => {
    const { cause, sign, strength, group, weighedBy } = event.params;
    const weight = weightOf(conditions, facts, words, weighedBy === 'first', book);
    return { rule: id, cause, side, group, db: sign * weight * (constants.words.strength[strength] ?? 0) };
  });
  raw.sort((a, b) => Math.abs(b.db) - Math.abs(a.db) || (a.rule < b.rule ? -1 : 1));
  const members = new Map<string, number>();
  const lines: FixedLine[] = [];
  for (const { rule, cause, side, group, db } of raw) {
    let groupFactor = 1;
    if (group !== undefined) {
      const key = `${keyOf(cause, side)}|${group}|${Math.sign(db)}`;
      const before = members.get(key) ?? 0;
      members.set(key, before + 1);
      groupFactor = constants.propagation.groupDiscount ** before;
    }
    if (db !== 0) lines.push({ rule, cause, side, groupFactor, db: db * groupFactor });
  }
  return lines;
}
