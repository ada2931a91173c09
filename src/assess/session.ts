/** Stage 8. One session of the asked length from the template of the level, with the chosen drills in their slots. */
import type { Drill, Session } from '../contract/answer.ts';
import type { DrillEntry, SessionTemplate } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { doseWords, needsTransfer, type Portion, repeatsIn, secondsPerRepeat } from './dose.ts';
import type { DrillChoice } from './drills.ts';
import type { Gate } from './health-gate.ts';
import { bodyPartWords, phrase, slotWords } from './phrases.ts';
import type { Record } from './record.ts';

type SessionTexts = RuleSet['texts']['sessions'][string];
type Block = SessionTemplate['blocks'][number];
type Item = Session['blocks'][number]['items'][number];

/** How a session departs from its template. */
export interface Shape {
  /** What the minutes of a slot are multiplied by: 1 where a slot is left out, 0 takes the block away. */
  readonly factors: Readonly<{ [slot: string]: number }>;
  /** Words in place of those of the template. */
  readonly words: Readonly<{ [slot: string]: string }>;
  readonly note?: string;
  readonly portion: Portion;
  /** Whole minutes for filming, right after the warm-up. */
  readonly film?: { readonly minutes: number; readonly text: string };
}

const AS_WRITTEN: Shape = { factors: {}, words: {}, portion: 'most' };

/** The longest template that fits, or the shortest there is. */
export function templateFor(record: Record, ruleSet: RuleSet): SessionTemplate {
  const ofLevel = ruleSet.parts.sessions
    .filter((s) => s.level === record.swimmer.level)
    .sort((a, b) => a.minutes - b.minutes);
  return (ofLevel.filter((s) => s.minutes <= record.options.sessionMinutes).at(-1) ??
    ofLevel[0]) as SessionTemplate;
}

export function maxDrillsOf(record: Record, ruleSet: RuleSet): number {
  return templateFor(record, ruleSet).maxDrills;
}

/** Whole minutes in the given proportions that add up exactly (largest remainder). */
export function shareMinutes(parts: readonly number[], total: number): number[] {
  const sum = parts.reduce((a, b) => a + b, 0);
  const exact = parts.map((p) => (p * total) / sum);
  const minutes = exact.map(Math.floor);
  const missing = total - minutes.reduce((a, b) => a + b, 0);
  const order = exact
    .map((e, i) => ({ i, rest: e - Math.floor(e) }))
    .sort((a, b) => b.rest - a.rest || a.i - b.i);
  for (const { i } of order.slice(0, missing)) minutes[i] = (minutes[i] as number) + 1;
  return minutes;
}

/** Land work comes before the water. */
const blockOf = (drill: Drill): string => (drill.slot === 'land' ? 'warm-up' : drill.slot);

/** What the template says, except where drills take its place or its own words name one that is ruled out. */
function plainItems({ slot, drills }: Block, shape: Shape, texts: SessionTexts, work: Work): Item[] {
  const own = shape.words[slot];
  if (slot === 'technique') {
    if (work.choice.drills.some((d) => blockOf(d) === slot)) return [];
    return [{ text: own ?? phrase(work.ruleSet, 'session-no-drill') }];
  }
  if (own !== undefined) return [{ text: own }];
  const ruledOut = drills.some((code) => !work.choice.allowed.has(code));
  return [{ text: ruledOut ? phrase(work.ruleSet, 'session-plain') : (texts.blocks[slot] ?? '') }];
}

/** The template speaks of full swimming: with a restriction only drills that passed every filter are named. */
function painFreeItems({ slot }: Block, { choice, record, ruleSet }: Work): Item[] {
  if (slot === 'easy') return [{ text: phrase(ruleSet, 'session-restricted-easy') }];
  if (slot !== 'warm-up') return [];
  return ruleSet.parts.drills
    .filter(
      (d) =>
        choice.allowed.has(d.code) &&
        d.slots.includes('warm-up') &&
        !choice.drills.some((c) => c.code === d.code),
    )
    .slice(0, 2)
    .map((d) => ({ drill: d.code, text: doseWords(d, undefined, true, record, ruleSet) }));
}

interface Work {
  readonly choice: DrillChoice;
  readonly restricted: boolean;
  readonly record: Record;
  readonly ruleSet: RuleSet;
}

/** Minutes of each drill: in the technique block all of it, in their usual shares; elsewhere what they need. */
function drillMinutes(slot: string, minutes: number, plain: number, drills: DrillEntry[], w: Work): number[] {
  if (slot === 'technique') {
    const shares = drills.map((d) => (d.share === undefined ? 0.1 : (d.share.least + d.share.most) / 2));
    return shareMinutes(shares, minutes);
  }
  const each = Math.max(1, Math.floor(minutes / (drills.length + plain)));
  return drills.map((d) => {
    const { amount } = d;
    const needed = (amount.pool25.repeats.most * secondsPerRepeat(d, w.restricted, w.record, w.ruleSet)) / 60;
    return Math.min(each, Math.ceil(needed));
  });
}

/** A drill and the swimming that carries it over; a sore part gets no swimming with it. */
function drillItems(drill: Drill, minutes: number, portion: Portion, work: Work): Item[] {
  const { record, restricted, ruleSet } = work;
  const entry = ruleSet.drills.get(drill.code) as DrillEntry;
  const repeats = repeatsIn(minutes, entry, portion, restricted, record, ruleSet);
  const transfer = phrase(ruleSet, 'session-transfer', { cue: drill.cues[0] ?? drill.name });
  return [
    {
      drill: drill.code,
      text: doseWords(entry, repeats, restricted, record, ruleSet),
      minutes,
      ...(repeats === undefined ? {} : { repeats }),
    },
    ...(needsTransfer(entry, restricted, record) ? [{ text: transfer }] : []),
  ];
}

interface Filled {
  readonly slot: string;
  readonly share: number;
  readonly plain: readonly Item[];
  readonly drills: readonly Drill[];
}

function fill(template: SessionTemplate, shape: Shape, work: Work): Filled[] {
  const texts = work.ruleSet.texts.sessions[template.code] as SessionTexts;
  return (
    template.blocks
      .map((block) => ({
        slot: block.slot,
        share: block.minutes * (shape.factors[block.slot] ?? 1),
        plain: work.restricted ? painFreeItems(block, work) : plainItems(block, shape, texts, work),
        drills: work.choice.drills.filter((d) => blockOf(d) === block.slot),
      }))
      // a block that no allowed drill can fill is left out rather than filled with what was ruled out
      .filter((b) => b.share > 0 && b.plain.length + b.drills.length > 0)
  );
}

function noteOf(template: SessionTemplate, shape: Shape, gate: Gate, work: Work): string {
  const { ruleSet } = work;
  if (work.restricted) {
    const parts = new Set(gate.restrictions.map((r) => bodyPartWords(ruleSet, r.bodyPart)));
    return phrase(ruleSet, 'session-restricted', { parts: [...parts].join(', ') });
  }
  if (shape.note !== undefined) return shape.note;
  if (work.choice.drills.length === 0) return phrase(ruleSet, 'session-no-drill');
  return ruleSet.texts.sessions[template.code]?.note ?? '';
}

/**
 * @param choice each of its drills has its place in one block.
 * @returns blocks whose whole minutes add up to the asked length.
 */
export function planSession(
  choice: DrillChoice,
  gate: Gate,
  record: Record,
  ruleSet: RuleSet,
  shape: Shape = AS_WRITTEN,
): Session {
  const template = templateFor(record, ruleSet);
  const work: Work = { choice, restricted: gate.restrictions.length > 0, record, ruleSet };
  const filled = fill(template, shape, work);
  const total = record.options.sessionMinutes;
  const minutes = shareMinutes(
    filled.map((b) => b.share),
    total - (shape.film?.minutes ?? 0),
  );
  const blocks = filled.map((b, i) => {
    const own = minutes[i] as number;
    const entries = b.drills.map((d) => ruleSet.drills.get(d.code) as DrillEntry);
    const each = drillMinutes(b.slot, own, b.plain.length, entries, work);
    const items = b.drills.flatMap((d, k) => drillItems(d, each[k] as number, shape.portion, work));
    return { slot: b.slot, label: slotWords(ruleSet, b.slot), minutes: own, items: [...b.plain, ...items] };
  });
  if (shape.film !== undefined) {
    const { minutes: own, text } = shape.film;
    const film = { slot: 'film', label: slotWords(ruleSet, 'film'), minutes: own, items: [{ text }] };
    blocks.splice(blocks.findIndex((b) => b.slot === 'warm-up') + 1, 0, film);
  }
  return { template: template.code, minutes: total, note: noteOf(template, shape, gate, work), blocks };
}
