/** Stage 8. One session of the asked length from the template of the level, with the chosen drills in their slots. */
import type { Drill, Session } from '../contract/answer.ts';
import type { SessionTemplate } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { DrillChoice } from './drills.ts';
import { doseFor } from './drills.ts';
import type { Gate } from './health-gate.ts';
import { bodyPartWords, phrase, slotWords } from './phrases.ts';
import type { Record } from './record.ts';

type SessionTexts = RuleSet['texts']['sessions'][string];
type Item = Session['blocks'][number]['items'][number];

/** The longest template that fits, or the shortest there is. */
function templateFor(record: Record, ruleSet: RuleSet): SessionTemplate {
  const ofLevel = ruleSet.parts.sessions
    .filter((s) => s.level === record.swimmer.level)
    .sort((a, b) => a.minutes - b.minutes);
  return (ofLevel.filter((s) => s.minutes <= record.options.sessionMinutes).at(-1) ??
    ofLevel[0]) as SessionTemplate;
}

export function maxDrillsOf(record: Record, ruleSet: RuleSet): number {
  return templateFor(record, ruleSet).maxDrills;
}

/** Whole minutes in the template's proportions that add up exactly (largest remainder). */
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

/** A drill and the swimming that carries it over; a sore part gets no swimming with it. */
function drillItems(drill: Drill, restricted: boolean, ruleSet: RuleSet): Item[] {
  const transfer = phrase(ruleSet, 'session-transfer', { cue: drill.cues[0] ?? drill.name });
  const land = ruleSet.drills.get(drill.code)?.tags.includes('land');
  return [
    { drill: drill.code, text: `${drill.name}: ${drill.dose}` },
    ...(land || restricted ? [] : [{ text: transfer }]),
  ];
}

/** Land work comes before the water. */
const blockOf = (drill: Drill): string => (drill.slot === 'land' ? 'warm-up' : drill.slot);

/** What the template says, except where the chosen drills take its place or its own words name one that is ruled out. */
function plainItems(
  { slot, drills }: SessionTemplate['blocks'][number],
  texts: SessionTexts,
  choice: DrillChoice,
  ruleSet: RuleSet,
): Item[] {
  if (slot !== 'technique') {
    const ruledOut = drills.some((code) => !choice.allowed.has(code));
    return [{ text: ruledOut ? phrase(ruleSet, 'session-plain') : (texts.blocks[slot] ?? '') }];
  }
  return choice.drills.some((d) => blockOf(d) === slot)
    ? []
    : [{ text: phrase(ruleSet, 'session-no-drill') }];
}

/** The template speaks of full swimming: with a restriction only drills that passed every filter are named. */
function painFreeItems(
  block: SessionTemplate['blocks'][number],
  choice: DrillChoice,
  record: Record,
  ruleSet: RuleSet,
): Item[] {
  if (block.slot === 'easy') return [{ text: phrase(ruleSet, 'session-restricted-easy') }];
  if (block.slot !== 'warm-up') return [];
  return ruleSet.parts.drills
    .filter(
      (d) =>
        choice.allowed.has(d.code) &&
        d.slots.includes('warm-up') &&
        !choice.drills.some((c) => c.code === d.code),
    )
    .slice(0, 2)
    .map((d) => ({
      drill: d.code,
      text: `${ruleSet.texts.drills[d.code]?.name ?? d.code}: ${doseFor(d.code, true, record, ruleSet)}`,
    }));
}

export function planSession(choice: DrillChoice, gate: Gate, record: Record, ruleSet: RuleSet): Session {
  const template = templateFor(record, ruleSet);
  const texts = ruleSet.texts.sessions[template.code] as SessionTexts;
  const restricted = gate.restrictions.length > 0;
  const parts = [...new Set(gate.restrictions.map((r) => bodyPartWords(ruleSet, r.bodyPart)))].join(', ');

  const filled = template.blocks.map((block) => ({
    slot: block.slot,
    share: block.minutes,
    items: [
      ...(restricted
        ? painFreeItems(block, choice, record, ruleSet)
        : plainItems(block, texts, choice, ruleSet)),
      ...choice.drills
        .filter((d) => blockOf(d) === block.slot)
        .flatMap((d) => drillItems(d, restricted, ruleSet)),
    ],
  }));
  // a block that no allowed drill can fill is left out rather than filled with what was ruled out
  const kept = filled.filter((b) => b.items.length > 0);
  const minutes = shareMinutes(
    kept.map((b) => b.share),
    record.options.sessionMinutes,
  );
  const note = restricted
    ? phrase(ruleSet, 'session-restricted', { parts })
    : choice.drills.length === 0
      ? phrase(ruleSet, 'session-no-drill')
      : texts.note;
  return {
    template: template.code,
    minutes: record.options.sessionMinutes,
    note,
    blocks: kept.map(({ slot, items }, i) => ({
      slot,
      label: slotWords(ruleSet, slot),
      minutes: minutes[i] as number,
      items,
    })),
  };
}
