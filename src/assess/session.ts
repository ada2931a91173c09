/** Stage 8. One session of the asked length from the template of the level, with the chosen drills in their slots. */
import type { Drill, Session } from '../contract/answer.ts';
import type { DrillEntry, SessionTemplate } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { doseWords, minutesNeeded, needsTransfer, type Portion, repeatsIn } from './dose.ts';
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
  /** Words after what stands in a slot. */
  readonly after: Readonly<{ [slot: string]: string }>;
  readonly note?: string;
  readonly portion: Portion;
  /** Whole minutes for filming, right after the warm-up. */
  readonly film?: { readonly minutes: number; readonly text: string };
}

const AS_WRITTEN: Shape = { factors: {}, words: {}, after: {}, portion: 'most' };

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

/** The words of the template, unless they would bring in a drill that is ruled out. */
function templateWords({ slot, drills, byGoal }: Block, texts: SessionTexts, work: Work): string {
  const { goal } = work.record.swimmer;
  if (byGoal && goal !== undefined) return work.ruleSet.texts.goalSets[goal] ?? '';
  const ruledOut = drills.some((code) => !work.choice.allowed.has(code));
  return ruledOut ? phrase(work.ruleSet, 'session-plain') : (texts.blocks[slot] ?? '');
}

/** What stands in a block besides the drills; in the technique block drills take its place. */
function plainItems(block: Block, shape: Shape, texts: SessionTexts, work: Work): Item[] {
  const { slot } = block;
  const own = shape.words[slot];
  const after = shape.after[slot];
  const more = after === undefined ? [] : [{ text: after }];
  if (slot !== 'technique') return [{ text: own ?? templateWords(block, texts, work) }, ...more];
  if (work.choice.drills.some((d) => blockOf(d) === slot)) return more;
  return [{ text: own ?? phrase(work.ruleSet, 'session-no-drill') }, ...more];
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

/**
 * Minutes in the given proportions, but to each no more than its cap; what nobody can use is left over.
 * Caps are whole minutes, so that the parts are.
 */
export function fillUp(shares: readonly number[], caps: readonly number[], total: number): number[] {
  const full = new Set<number>();
  for (;;) {
    const open = shares.map((share, i) => (full.has(i) ? 0 : share));
    const taken = caps.reduce((sum, cap, i) => sum + (full.has(i) ? cap : 0), 0);
    if (open.every((share) => share === 0)) return [...caps];
    const parts = shareMinutes(open, Math.max(0, total - taken));
    const over = parts.flatMap((part, i) => (!full.has(i) && part > (caps[i] as number) ? [i] : []));
    if (over.length === 0) return parts.map((part, i) => (full.has(i) ? (caps[i] as number) : part));
    for (const i of over) full.add(i);
  }
}

/** Minutes of each drill: in the technique block in their usual shares, elsewhere beside what stands there. */
function drillMinutes(slot: string, minutes: number, plain: number, portion: Portion, w: Work): number[] {
  const drills = w.choice.drills
    .filter((d) => blockOf(d) === slot)
    .map((d) => w.ruleSet.drills.get(d.code) as DrillEntry);
  const needed = drills.map((d) => minutesNeeded(d, portion, w.restricted, w.record, w.ruleSet));
  if (slot === 'technique') {
    const shares = drills.map((d) => (d.share === undefined ? 0.1 : (d.share.least + d.share.most) / 2));
    return fillUp(shares, needed, minutes);
  }
  const each = Math.max(1, Math.floor(minutes / (drills.length + plain)));
  return needed.map((n) => Math.min(each, n));
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

/** What the drills leave of the technique block. */
function restOf(minutes: number, { restricted, ruleSet }: Work): Item {
  return { text: phrase(ruleSet, restricted ? 'session-restricted-easy' : 'session-rest'), minutes };
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
    const each = drillMinutes(b.slot, own, b.plain.length, shape.portion, work);
    const items = b.drills.flatMap((d, k) => drillItems(d, each[k] as number, shape.portion, work));
    const spare = own - each.reduce((sum, m) => sum + m, 0);
    const rest = b.slot === 'technique' && items.length > 0 && spare > 0 ? [restOf(spare, work)] : [];
    return {
      slot: b.slot,
      label: slotWords(ruleSet, b.slot),
      minutes: own,
      items: [...b.plain, ...items, ...rest],
    };
  });
  if (shape.film !== undefined) {
    const { minutes: own, text } = shape.film;
    const film = { slot: 'film', label: slotWords(ruleSet, 'film'), minutes: own, items: [{ text }] };
    blocks.splice(blocks.findIndex((b) => b.slot === 'warm-up') + 1, 0, film);
  }
  return { template: template.code, minutes: total, note: noteOf(template, shape, gate, work), blocks };
}
