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
import type { Parts } from './parts.ts';

export interface FactSpec {
  readonly kind: FactKind;
  /** Has a left and a right instance. */
  readonly sided: boolean;
  /** Values that a text or list fact can take; left out where any is possible. */
  readonly values?: readonly string[];
}

const CONTEXT: Readonly<Record<string, FactSpec>> = {
  level: { kind: 'text', sided: false, values: LEVELS },
  goal: { kind: 'text', sided: false, values: GOALS },
  age: { kind: 'number', sided: false },
  'weeks-to-race': { kind: 'number', sided: false },
  'metres-per-week': { kind: 'number', sided: false },
  'distance-step': { kind: 'number', sided: false },
  'deep-water-competent': { kind: 'flag', sided: false },
  pace: { kind: 'text', sided: false, values: ['easy', 'steady', 'race'] },
  suit: { kind: 'text', sided: false, values: ['swimwear', 'wetsuit'] },
  pool: { kind: 'text', sided: false, values: ['metres', 'yards', 'open-water'] },
  views: { kind: 'list', sided: false, values: VIEWS },
  'health-asked': { kind: 'flag', sided: false },
  'clinician-agrees': { kind: 'flag', sided: false },
  'minor-consent-on-file': { kind: 'flag', sided: false },
  'pregnancy-week': { kind: 'number', sided: false },
  'gate-status': { kind: 'text', sided: false, values: ['refer', 'modify', 'clear'] },
  contradictions: { kind: 'number', sided: false },
  'looked-at': { kind: 'number', sided: false },
  'listed-causes': { kind: 'number', sided: false },
  'leading-cause': { kind: 'text', sided: false },
  'worst-fault': { kind: 'number', sided: false },
  'side-gap': { kind: 'number', sided: false },
  'focus-count': { kind: 'number', sided: false },
};

/** The facts of one rule set by id, without the side suffix. */
export function factCatalogue(parts: Parts): ReadonlyMap<string, FactSpec> {
  const facts = new Map<string, FactSpec>(Object.entries(CONTEXT));
  const flag: FactSpec = { kind: 'flag', sided: false };
  const reasons = parts['sufficiency-rules'].map((r) => r.event.params.code);
  facts.set('insufficient', { kind: 'list', sided: false, values: reasons });
  facts.set('equipment', { kind: 'list', sided: false, values: parts.lists.equipment });
  for (const o of parts.observations) facts.set(o.code, { kind: 'seen', sided: o.sided });
  for (const f of parts.findings) facts.set(`finding:${f.code}`, { kind: 'seen', sided: f.sided });
  for (const m of parts.measurements) facts.set(m.code, { kind: 'measured', sided: m.sided });
  for (const q of parts['quality-flags']) facts.set(q.code, flag);
  for (const c of parts.causes) {
    facts.set(`cause:${c.code}`, { kind: 'probability', sided: c.sided });
    facts.set(`focus:${c.code}`, { kind: 'flag', sided: c.sided });
  }
  for (const s of parts.lists.healthSigns) facts.set(`sign:${s}`, flag);
  for (const c of parts.lists.conditions) facts.set(`condition:${c}`, flag);
  for (const s of parts.lists.painSites) facts.set(`pain:${s}`, { kind: 'pain', sided: true });
  for (const b of parts.lists.bodyParts) {
    facts.set(`restricted:${b}`, flag);
    facts.set(`ache:${b}`, flag);
  }
  for (const d of parts.drills) facts.set(`refused-drill:${d.code}`, flag);
  for (const c of parts.cautions) facts.set(`named-by-drill:${c.code}`, flag);
  return facts;
}
