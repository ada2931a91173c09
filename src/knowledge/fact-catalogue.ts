/**
 * Every fact that a rule may ask for, with its kind. Facts are flat ids; families carry a prefix:
 *
 *   hips-low            an observation by that name, as reported by eye
 *   finding:hips-low    all reports on it together (eye, measurement, opposite)
 *   trunk-incline       a measurement
 *   camera-oblique      a quality flag
 *   sign: condition: pain:            the health questions
 *   cause: focus:                     what earlier stages concluded
 *   restricted: ache:                 body parts, from the health gate
 *   refused-drill: named-by-drill:    drills
 */
import { GOALS, LEVELS, VIEWS } from '../contract/common.ts';
import type { FactKind } from '../engine/facts.ts';
import type { Parts, RulePart } from './parts.ts';

export interface FactSpec {
  readonly kind: FactKind;
  /** Has a left and a right instance. */
  readonly sided: boolean;
  /** Values that a text or list fact can take; left out where any is possible. */
  readonly values?: readonly string[];
  /** Least and most that a number or a measured value can be. */
  readonly range?: readonly [number, number];
  /** A count: no values between the whole numbers. */
  readonly whole?: true;
  /** Concluded by these rules: those that run with them or before them never see it. */
  readonly after?: RulePart;
  /** Has a value in every record, by the time that a rule can see it. */
  readonly always?: true;
  /** Either true or not known, never false. */
  readonly neverFalse?: true;
}

/** The parts that hold rules in the order in which they run; one of them may use what the ones before concluded. */
export const RUN_ORDER = [
  'gate-rules',
  'reports',
  'links',
  'modifiers',
  'sufficiency-rules',
  'principle-rules',
  'deductions',
  'drill-exclusions',
  'caution-rules',
  'plan-rules',
] as const satisfies readonly RulePart[];

const text = (values: readonly string[]): FactSpec => ({ kind: 'text', sided: false, values });
const number = (range?: readonly [number, number]): FactSpec => ({
  kind: 'number',
  sided: false,
  ...(range === undefined ? {} : { range }),
});
const concluded = (spec: FactSpec, after: RulePart): FactSpec => ({ ...spec, after, always: true });
const count = (most: number, after: RulePart): FactSpec =>
  concluded({ ...number([0, most]), whole: true }, after);
const FLAG: FactSpec = { kind: 'flag', sided: false };

const CONTEXT: Readonly<Record<string, FactSpec>> = {
  level: { ...text(LEVELS), always: true },
  goal: text(GOALS),
  age: { ...number([3, 110]), whole: true },
  'weeks-to-race': number([0, 104]),
  'metres-per-week': number([0, 200_000]),
  'distance-step': number([0, 1000]),
  'deep-water-competent': FLAG,
  pace: text(['easy', 'steady', 'race']),
  suit: text(['swimwear', 'wetsuit']),
  pool: text(['metres', 'yards', 'open-water']),
  views: { kind: 'list', sided: false, values: VIEWS },
  'health-asked': FLAG,
  'clinician-agrees': FLAG,
  'minor-consent-on-file': FLAG,
  'pregnancy-week': number([0, 45]),
  'gate-status': concluded(text(['refer', 'modify', 'clear']), 'gate-rules'),
  contradictions: count(600, 'reports'),
  'looked-at': count(600, 'reports'),
  'worst-fault': count(3, 'reports'),
  'side-gap': { ...number([0, 3]), whole: true, after: 'reports' },
  'listed-causes': count(200, 'modifiers'),
  'leading-cause': { kind: 'text', sided: false, after: 'modifiers' },
  'focus-count': count(2, 'principle-rules'),
};

/** The facts of one rule set by id, without the side suffix. */
export function factCatalogue(parts: Parts): ReadonlyMap<string, FactSpec> {
  const facts = new Map<string, FactSpec>(Object.entries(CONTEXT));
  const reasons = parts['sufficiency-rules'].map((r) => r.event.params.code);
  facts.set('insufficient', concluded({ kind: 'list', sided: false, values: reasons }, 'sufficiency-rules'));
  facts.set('equipment', { kind: 'list', sided: false, values: parts.lists.equipment });
  for (const o of parts.observations) facts.set(o.code, { kind: 'seen', sided: o.sided });
  for (const f of parts.findings)
    facts.set(`finding:${f.code}`, { kind: 'seen', sided: f.sided, after: 'reports' });
  for (const { code, sided, possible } of parts.measurements)
    facts.set(code, { kind: 'measured', sided, range: [possible.min, possible.max] });
  for (const q of parts['quality-flags']) facts.set(q.code, { ...FLAG, always: true });
  for (const { code, sided } of parts.causes) {
    facts.set(`cause:${code}`, concluded({ kind: 'probability', sided }, 'modifiers'));
    facts.set(`focus:${code}`, { kind: 'flag', sided, after: 'principle-rules', neverFalse: true });
  }
  for (const s of parts.lists.healthSigns) facts.set(`sign:${s}`, FLAG);
  for (const c of parts.lists.conditions) facts.set(`condition:${c}`, FLAG);
  for (const s of parts.lists.painSites)
    facts.set(`pain:${s}`, { kind: 'pain', sided: true, range: [0, 10] });
  for (const b of parts.lists.bodyParts) {
    facts.set(`restricted:${b}`, concluded(FLAG, 'gate-rules'));
    facts.set(`ache:${b}`, concluded(FLAG, 'gate-rules'));
  }
  for (const d of parts.drills) facts.set(`refused-drill:${d.code}`, { ...FLAG, neverFalse: true });
  // drills are chosen once those that are ruled out are known
  for (const c of parts.cautions) facts.set(`named-by-drill:${c.code}`, concluded(FLAG, 'drill-exclusions'));
  return facts;
}
