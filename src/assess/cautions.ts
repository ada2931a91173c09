/** Last stage. The cautions of this record: those of the gate, those of the context, those of the chosen drills. */
import type { Caution, Drill } from '../contract/answer.ts';
import type { Because } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { CautionEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { slotsByCode } from './facts.ts';
import type { Gate } from './health-gate.ts';
import { type Flow, fire } from './pipeline.ts';
import { remembered } from './remembered.ts';

const CLASS_ORDER: readonly CautionEntry['class'][] = ['stop-now', 'refer', 'never', 'condition', 'modify'];

/** A caution that the rules raised for a reason that reads in words. */
export interface Raised {
  readonly code: string;
  readonly because: Because;
}

function describe(raised: readonly Raised[], ruleSet: RuleSet): Caution[] {
  const reasons = new Map<string, Because[]>();
  for (const { code, because } of raised) {
    const list = reasons.get(code) ?? [];
    if (!list.some((b) => b.code === because.code)) list.push(because);
    reasons.set(code, list);
  }
  return [...reasons]
    .map(([code, because]) => {
      const entry = ruleSet.cautions.get(code) as CautionEntry;
      const text = ruleSet.texts.cautions[code] as RuleSet['texts']['cautions'][string];
      return { code, class: entry.class, label: text.label, text: text.text, because };
    })
    .sort(
      (a, b) => CLASS_ORDER.indexOf(a.class) - CLASS_ORDER.indexOf(b.class) || (a.code < b.code ? -1 : 1),
    );
}

/** Only what the gate raised, for an answer that stops. */
export function gateCautions(gate: Gate, ruleSet: RuleSet): Caution[] {
  return describe(gate.cautions, ruleSet);
}

const namedByDrill = remembered((ruleSet: RuleSet) =>
  slotsByCode(ruleSet, ruleSet.cautions.keys(), 'named-by-drill:'),
);

/** @param more cautions that a later stage raised. */
export function* raiseCautions(
  slots: Slots,
  gate: Gate,
  drills: readonly Pick<Drill, 'cautions'>[],
  ruleSet: RuleSet,
  more: readonly Raised[] = [],
): Flow<Caution[]> {
  for (const [code, slot] of namedByDrill(ruleSet))
    slots[slot] = drills.some((d) => d.cautions.includes(code));
  const fired = yield* fire(ruleSet.stages.cautions, slots);
  const raised = fired.map(
    ({ rule, params }): Raised => ({
      code: params.caution,
      because: { code: rule.id, text: ruleSet.texts.cautionRules[rule.id] ?? '' },
    }),
  );
  return describe([...gate.cautions, ...raised, ...more], ruleSet);
}
