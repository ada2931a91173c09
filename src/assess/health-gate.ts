/** Stage 1. Health before technique: what stops, what is referred, what only changes the choice of drills. */
import type { Because, Side } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { Fired } from '../engine/stage.ts';
import type { GateParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { setFact, slotsByCode } from './facts.ts';
import { type Flow, fire } from './pipeline.ts';
import { remembered } from './remembered.ts';

export interface BodyPartNote {
  readonly bodyPart: string;
  readonly side: Side;
  readonly because: Because;
}

export interface Gate {
  readonly status: 'stop' | 'refer' | 'modify' | 'clear';
  /** Parts that a clinician should see first. */
  readonly restrictions: readonly BodyPartNote[];
  /** Parts with a mild ache. */
  readonly aches: readonly BodyPartNote[];
  readonly cautions: readonly { readonly code: string; readonly because: Because }[];
}

/** Pain in the trunk has no side, whatever side the entry gave. */
function noteOf(fired: Fired<GateParams>, bodyPart: string, ruleSet: RuleSet): BodyPartNote {
  const { rule } = fired;
  return { bodyPart, side: rule.side, because: { code: rule.id, text: ruleSet.texts.gate[rule.id] ?? '' } };
}

const key = (note: BodyPartNote): string => `${note.bodyPart}@${note.side}`;

/** The first reason of each body part and side stands for it. */
function distinct(notes: readonly BodyPartNote[]): BodyPartNote[] {
  const seen = new Set<string>();
  return notes.filter((note) => !seen.has(key(note)) && seen.add(key(note)));
}

const bodyParts = remembered((ruleSet: RuleSet) => ({
  restricted: slotsByCode(ruleSet, ruleSet.parts.lists.bodyParts, 'restricted:'),
  ache: slotsByCode(ruleSet, ruleSet.parts.lists.bodyParts, 'ache:'),
}));

export function* healthGate(slots: Slots, ruleSet: RuleSet): Flow<Gate> {
  const fired = yield* fire(ruleSet.stages.gate, slots);
  const parts = (outcome: GateParams['outcome']): BodyPartNote[] =>
    distinct(
      fired
        .filter((f) => f.params.outcome === outcome)
        .flatMap((f) => f.params.restricts.map((bodyPart) => noteOf(f, bodyPart, ruleSet))),
    );
  const restrictions = parts('refer');
  const referred = new Set(restrictions.map(key));
  const aches = parts('modify').filter((note) => !referred.has(key(note)));
  // a mild caution is silent where the same part is already referred
  const cautions = fired
    .filter(
      (f) =>
        f.params.outcome !== 'modify' ||
        aches.some((a) => a.because.code === f.rule.id && a.side === f.rule.side),
    )
    .map((f) => ({
      code: f.params.caution,
      because: { code: f.rule.id, text: ruleSet.texts.gate[f.rule.id] ?? '' },
    }));

  const stop = fired.some((f) => f.params.outcome === 'stop');
  const status = stop ? 'stop' : restrictions.length > 0 ? 'refer' : aches.length > 0 ? 'modify' : 'clear';
  setFact(ruleSet, slots, 'gate-status', status);
  const { restricted, ache } = bodyParts(ruleSet);
  for (const [part, slot] of restricted) slots[slot] = restrictions.some((r) => r.bodyPart === part);
  for (const [part, slot] of ache) slots[slot] = aches.some((a) => a.bodyPart === part);
  return { status, restrictions, aches, cautions };
}
