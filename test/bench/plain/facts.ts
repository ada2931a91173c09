/** What the rules can ask about, by name; what nobody said is not in the map. */
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import type { FactValue } from '../../../src/engine/facts.ts';
import type { Facts } from './conditions.ts';
import { type Entries, factsOf, type Measured, type Seen } from './record.ts';
import type { RuleBook } from './rule-book.ts';
import { seenDb } from './weights.ts';

/** The gate hears the worst of several reports. */
function worst(entries: readonly Seen[]): FactValue {
  const { severity, certainty } = entries.reduce((a, b) => (b.severity > a.severity ? b : a));
  return { severity, certainty } as FactValue;
}

/** Elsewhere the heavier side wins; a dead heat is disputed. */
function combined(entries: readonly Seen[], book: RuleBook): FactValue {
  const [first] = entries as [Seen];
  if (entries.length === 1) return { severity: first.severity, certainty: first.certainty } as FactValue;
  const { discount } = book.parts.constants.reports;
  const side = (list: readonly Seen[]): number =>
    list
      .map((e) => seenDb(e, book))
      .sort((a, b) => b - a)
      .reduce((sum, db, k) => sum + db * discount ** k, 0);
  const there = entries.filter((e) => e.severity > 0);
  const net = side(there) - side(entries.filter((e) => e.severity === 0));
  const size = Math.abs(net);
  const certainty = size >= 12.5 ? 'sure' : size >= 7.5 ? 'likely' : size >= 2.5 ? 'unsure' : undefined;
  if (certainty === undefined) return { severity: 0, certainty: 'unsure', disputed: true };
  if (net < 0) return { severity: 0, certainty };
  there.sort((a, b) => seenDb(b, book) - seenDb(a, book) || b.severity - a.severity);
  return { severity: there[0]!.severity, certainty } as FactValue;
}

function mean(entries: readonly Measured[]): FactValue {
  const value = entries.reduce((sum, e) => sum + e.value, 0) / entries.length;
  const deviation = Math.hypot(...entries.map((e) => e.standardDeviation ?? 0)) / entries.length;
  return {
    value,
    certainty: entries[0]!.certainty,
    ...(deviation > 0 ? { standardDeviation: deviation } : {}),
  };
}

function byFact<T extends Seen | Measured>(entries: readonly T[], book: RuleBook): Map<string, T[]> {
  const lists = new Map<string, T[]>();
  for (const entry of entries) {
    for (const fact of factsOf(entry.code, entry.side, book)) {
      const list = lists.get(fact);
      if (list === undefined) lists.set(fact, [entry]);
      else list.push(entry);
    }
  }
  return lists;
}

export interface Known {
  readonly facts: Facts;
  readonly seen: ReadonlyMap<string, readonly Seen[]>;
  readonly measured: ReadonlyMap<string, readonly Measured[]>;
}

export function readFacts(request: AssessmentRequest, entries: Entries, book: RuleBook): Known {
  const facts: Facts = new Map();
  const put = (name: string, value: FactValue): void => {
    if (value !== undefined) facts.set(name, value);
  };
  const { swimmer, recording = {}, health, coach } = request;
  put('level', swimmer.level);
  put('goal', swimmer.goal);
  put('age', swimmer.age);
  put('weeks-to-race', swimmer.weeksToRace);
  put('metres-per-week', swimmer.metresPerWeek);
  if (swimmer.metresPerWeek !== undefined && swimmer.metresPerWeekBefore) {
    put('distance-step', swimmer.metresPerWeek / swimmer.metresPerWeekBefore);
  }
  put('deep-water-competent', swimmer.deepWaterCompetent);
  put('equipment', swimmer.equipment);
  put('pace', recording.pace);
  put('suit', recording.suit);
  const { pool } = recording;
  if (pool !== undefined) put('pool', pool === null ? 'open-water' : pool.unit === 'yd' ? 'yards' : 'metres');
  put('views', entries.views);
  for (const code of book.flags.keys()) put(code, entries.flags.includes(code));
  for (const { code } of coach?.rejectDrills ?? []) put(`refused-drill:${code}`, true);

  const { lists } = book.parts;
  const listed = (prefix: string, all: readonly string[], given: readonly string[] = []): void => {
    for (const code of all) {
      if (given.includes(code)) put(`${prefix}:${code}`, true);
      else if (health?.asked) put(`${prefix}:${code}`, false);
    }
  };
  listed('sign', lists.healthSigns, health?.signs);
  listed('condition', lists.conditions, health?.conditions);
  put('health-asked', health?.asked);
  put('clinician-agrees', health?.clinicianAgrees);
  put('minor-consent-on-file', health?.minorConsentOnFile);
  put('pregnancy-week', health?.pregnancyWeek);
  for (const site of lists.painSites) {
    for (const side of ['left', 'right'] as const) {
      const pains = (health?.pain ?? []).filter((p) => p.site === site && (p.side ?? side) === side);
      if (pains.length === 0 && !health?.asked) continue;
      const score = Math.max(0, ...pains.map((p) => p.score));
      put(`pain:${site}@${side}`, { score, features: pains.flatMap((p) => p.features ?? []) });
    }
  }
  const seen = byFact(entries.seen, book);
  const measured = byFact(entries.measured, book);
  for (const [fact, list] of seen) put(fact, book.gateFacts.has(fact) ? worst(list) : combined(list, book));
  for (const [fact, list] of measured) put(fact, mean(list));
  return { facts, seen, measured };
}
