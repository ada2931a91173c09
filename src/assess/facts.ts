/** Fills the fact slots of one request from its record. A slot that nobody spoke about stays undefined. */
import { mean } from 'simple-statistics';
import type { Certainty, Side } from '../contract/common.ts';
import { leavesOf } from '../engine/conditions.ts';
import type { FactValue, Measured, PainReport, Seen, Slots } from '../engine/facts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { MeasuredEntry, Record, SeenEntry } from './record.ts';
import { remembered } from './remembered.ts';
import { reportDb } from './report-weights.ts';

export function setFact(ruleSet: RuleSet, slots: Slots, fact: string, value: FactValue): void {
  const slot = ruleSet.facts.find(fact);
  if (slot !== undefined) slots[slot] = value;
}

/** Slots of a family of facts by code, `prefix` left out; a fact that no rule asks for has none. */
export function slotsByCode(
  ruleSet: RuleSet,
  codes: Iterable<string>,
  prefix = '',
): ReadonlyMap<string, number> {
  const slots = new Map<string, number>();
  for (const code of codes) {
    const slot = ruleSet.facts.find(prefix + code);
    if (slot !== undefined) slots.set(code, slot);
  }
  return slots;
}

const families = remembered((ruleSet: RuleSet) => {
  const { lists } = ruleSet.parts;
  return {
    unknown: Array.from({ length: ruleSet.facts.size }, (): FactValue => undefined),
    signs: slotsByCode(ruleSet, lists.healthSigns, 'sign:'),
    conditions: slotsByCode(ruleSet, lists.conditions, 'condition:'),
    flags: slotsByCode(ruleSet, ruleSet.flags.keys()),
    pain: (['left', 'right'] as const).map((side) => ({
      side,
      slots: lists.painSites.flatMap((site) => {
        const slot = ruleSet.facts.find(`pain:${site}@${side}`);
        return slot === undefined ? [] : [{ site, slot }];
      }),
    })),
  };
});

/** Fact ids of a code on a side: sided facts have one slot a side, and an entry without a side speaks for both. */
export function factsOf(ruleSet: RuleSet, fact: string, side: Side): string[] {
  if (!ruleSet.catalogue.get(fact)?.sided) return [fact];
  return side === 'body' ? [`${fact}@left`, `${fact}@right`] : [`${fact}@${side}`];
}

const UNDERWATER = ['side-under', 'front-under', 'rear'] as const;

/** Quality flags that follow from what the record says about the film. */
export function derivedFlags(record: Record, ruleSet: RuleSet): string[] {
  const { recording } = record;
  const flags: string[] = [];
  if (recording.cycles !== undefined && recording.cycles < 3) flags.push('single-cycle');
  if (recording.framesPerSecond !== undefined && recording.framesPerSecond < 50) flags.push('low-frame-rate');
  const views = viewsOf(record);
  if (views !== undefined) {
    if (!UNDERWATER.some((v) => views.includes(v))) flags.push('above-water-only');
    if (!views.includes('front-under')) flags.push('no-front-view');
    if (!views.includes('side-under')) flags.push('no-side-under');
  }
  return flags.filter((flag) => ruleSet.flags.has(flag) && !recording.flags?.includes(flag));
}

/** The views in hand: those named for the recording, its clips, and each entry. Undefined when none is named. */
export const viewsOf = remembered((record: Record): readonly string[] | undefined => {
  const { views, clips } = record.recording;
  if (views === undefined && !clips?.length) return undefined;
  const named = new Set<string>(views);
  for (const { view } of clips ?? []) named.add(view);
  for (const { view } of record.observations) if (view !== undefined) named.add(view);
  for (const { view } of record.measurements) if (view !== undefined) named.add(view);
  return [...named].sort();
});

const CERTAINTY_BY_DB: readonly (readonly [number, Certainty])[] = [
  [12.5, 'sure'],
  [7.5, 'likely'],
  [2.5, 'unsure'],
];

/** Where reports on pain disagree, the worst one is heard: the health gate never averages. */
function worstOf(entries: readonly SeenEntry[]): Seen {
  const worst = entries.reduce((a, b) => (b.severity > a.severity ? b : a));
  return { severity: worst.severity, certainty: worst.certainty };
}

/** Facts that the health gate asks for. */
export const gateFacts = remembered(
  (ruleSet: RuleSet): ReadonlySet<string> =>
    new Set(ruleSet.stages.gate.rules.flatMap((rule) => leavesOf(rule.conditions)).map((leaf) => leaf.fact)),
);

/** Several looks at one thing by eye, as one fact: the heavier side wins; a dead heat is disputed. */
function combineSeen(entries: readonly SeenEntry[], ruleSet: RuleSet): Seen {
  const first = entries[0] as SeenEntry;
  if (entries.length === 1) return { severity: first.severity, certainty: first.certainty };
  const weights = entries.map((e) => reportDb(e, ruleSet) * (e.severity > 0 ? 1 : -1));
  const { discount } = ruleSet.parts.constants.reports;
  const side = (sign: 1 | -1): number =>
    weights
      .filter((w) => w * sign > 0)
      .sort((a, b) => Math.abs(b) - Math.abs(a))
      .reduce((sum, w, k) => sum + Math.abs(w) * discount ** k, 0);
  const net = side(1) - side(-1);
  const certainty = CERTAINTY_BY_DB.find(([from]) => Math.abs(net) >= from)?.[1];
  if (certainty === undefined) return { severity: 0, certainty: 'unsure', disputed: true };
  if (net < 0) return { severity: 0, certainty };
  const strongest = entries
    .filter((e) => e.severity > 0)
    .sort((a, b) => reportDb(b, ruleSet) - reportDb(a, ruleSet) || b.severity - a.severity);
  return { severity: (strongest[0] as SeenEntry).severity, certainty };
}

/** What the eye saw of one fact, from all its entries. */
export function seenAs(fact: string, entries: readonly SeenEntry[], ruleSet: RuleSet): Seen {
  return gateFacts(ruleSet).has(fact) ? worstOf(entries) : combineSeen(entries, ruleSet);
}

/** Several readings of one thing as one fact: their mean, with the error of the mean. */
function combineMeasured(entries: readonly MeasuredEntry[]): Measured {
  const value = mean(entries.map((e) => e.value));
  const { certainty } = entries[0] as MeasuredEntry;
  const standardDeviation = Math.hypot(...entries.map((e) => e.standardDeviation ?? 0)) / entries.length;
  return { value, certainty, ...(standardDeviation > 0 ? { standardDeviation } : {}) };
}

function groupBy<T>(list: readonly T[], keysOf: (item: T) => readonly string[]): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of list) {
    for (const key of keysOf(item)) {
      const group = groups.get(key);
      if (group === undefined) groups.set(key, [item]);
      else group.push(item);
    }
  }
  return groups;
}

export interface EntriesByFact {
  readonly seen: ReadonlyMap<string, readonly SeenEntry[]>;
  readonly measured: ReadonlyMap<string, readonly MeasuredEntry[]>;
}

function fillHealth(record: Record, ruleSet: RuleSet, slots: Slots): void {
  const { health } = record;
  const { signs, conditions, pain } = families(ruleSet);
  const put = (fact: string, value: FactValue): void => setFact(ruleSet, slots, fact, value);
  // asked and not listed is "not there"; not asked and not listed is not known
  const listed = (all: ReadonlyMap<string, number>, given: readonly string[] | undefined): void => {
    for (const [code, slot] of all) {
      if (given?.includes(code)) slots[slot] = true;
      else if (health?.asked) slots[slot] = false;
    }
  };
  listed(signs, health?.signs);
  listed(conditions, health?.conditions);
  put('health-asked', health?.asked);
  put('clinician-agrees', health?.clinicianAgrees);
  put('minor-consent-on-file', health?.minorConsentOnFile);
  put('pregnancy-week', health?.pregnancyWeek);
  for (const { side, slots: sites } of pain) {
    for (const { site, slot } of sites) {
      const reports = (health?.pain ?? []).filter(
        (p) => p.site === site && (p.side === side || p.side === 'both'),
      );
      if (reports.length === 0 && !health?.asked) continue;
      slots[slot] = {
        score: Math.max(0, ...reports.map((p) => p.score)),
        features: reports.flatMap((p) => p.features),
      } satisfies PainReport;
    }
  }
}

function fillContext(record: Record, ruleSet: RuleSet, slots: Slots): void {
  const { swimmer, recording } = record;
  const put = (fact: string, value: FactValue): void => setFact(ruleSet, slots, fact, value);
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
  if (recording.pool !== undefined) {
    put('pool', recording.pool === null ? 'open-water' : recording.pool.unit === 'yd' ? 'yards' : 'metres');
  }
  put('views', viewsOf(record));
  const set = new Set([...(recording.flags ?? []), ...derivedFlags(record, ruleSet)]);
  for (const [code, slot] of families(ruleSet).flags) slots[slot] = set.has(code);
  for (const drill of record.coach.rejectDrills) put(`refused-drill:${drill.code}`, true);
}

/** @returns the slots and the entries behind each fact, for the stages that weigh entries one by one. */
export function readFacts(record: Record, ruleSet: RuleSet): { slots: Slots; entries: EntriesByFact } {
  const slots: Slots = families(ruleSet).unknown.slice();
  fillContext(record, ruleSet, slots);
  fillHealth(record, ruleSet, slots);
  const seen = groupBy(record.observations, (e) => factsOf(ruleSet, e.code, e.side));
  const measured = groupBy(record.measurements, (e) => factsOf(ruleSet, e.code, e.side));
  for (const [fact, entries] of seen) setFact(ruleSet, slots, fact, seenAs(fact, entries, ruleSet));
  for (const [fact, entries] of measured) {
    setFact(ruleSet, slots, fact, combineMeasured(entries));
  }
  return { slots, entries: { seen, measured } };
}
