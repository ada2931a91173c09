/** Every code has its words in a language file, and every word belongs to a code. */
import { GOALS, LEVELS, VIEWS } from '../../contract/common.ts';
import { PLAN_STAGES } from '../../contract/plan-words.ts';
import { BLOCKS, CHECKS, LISTS, type Parts } from '../parts.ts';
import { PHRASE_KEYS } from '../phrase-keys.ts';
import type { Texts } from '../texts.ts';
import type { Report } from './report.ts';

export function compareTexts(parts: Parts, texts: Texts, report: Report): void {
  const file = `texts/${texts.language}`;
  const need = (place: readonly string[], have: Record<string, unknown>, keys: readonly string[]): void => {
    for (const key of keys)
      if (have[key] === undefined)
        report('missing-text', file, place, `the text of "${key}" is missing`, { value: key });
    const wanted = new Set(keys);
    for (const key of Object.keys(have))
      if (!wanted.has(key))
        report('spare-text', file, [...place, key], 'belongs to no entry of the rule set', { value: key });
  };
  const needAll = (section: keyof Texts, keys: readonly string[]): void =>
    need([section], texts[section] as Record<string, unknown>, keys);
  const codesOf = (entries: readonly { code: string }[]) => entries.map((e) => e.code);
  const causes = new Set(codesOf(parts.causes));
  // an unknown cause is named where it stands; its words are not asked for
  const causesOf = (entries: readonly { cause: string }[]) =>
    [...new Set(entries.map((e) => e.cause))].filter((code) => causes.has(code));
  const idsOf = (rules: readonly { id: string }[]) => rules.map((r) => r.id);
  const observed = new Set(codesOf(parts.observations));
  needAll('observations', codesOf(parts.observations));
  needAll('qualityFlags', codesOf(parts['quality-flags']));
  const fixed = { ...parts.lists, views: VIEWS, goals: GOALS, levels: LEVELS, slots: BLOCKS };
  for (const name of [...LISTS, 'views', 'goals', 'levels', 'slots'] as const)
    need(['lists', name], texts.lists[name], fixed[name]);
  needAll('measurements', codesOf(parts.measurements));
  needAll('changeLimits', codesOf(parts['change-limits']));
  needAll(
    'findings',
    codesOf(parts.findings).filter((c) => !observed.has(c)),
  );
  needAll('causes', codesOf(parts.causes));
  needAll('links', idsOf(parts.links));
  needAll('drivers', idsOf(parts.drivers));
  needAll('modifiers', idsOf(parts.modifiers));
  needAll(
    'reports',
    idsOf(parts.reports).filter((id) => id !== 'seen-directly'),
  );
  needAll('deductions', idsOf(parts.deductions));
  needAll('principles', codesOf(parts.principles));
  needAll('drills', codesOf(parts.drills));
  needAll('cautions', codesOf(parts.cautions));
  needAll('cautionRules', idsOf(parts['caution-rules']));
  needAll('gate', idsOf(parts['gate-rules']));
  needAll('exclusions', idsOf(parts['drill-exclusions']));
  needAll('sufficiency', idsOf(parts['sufficiency-rules']));
  needAll('sessions', codesOf(parts.sessions));
  needAll('goalSets', GOALS);
  const plans = {
    stages: PLAN_STAGES,
    checks: CHECKS,
    goalTests: GOALS,
    decisions: codesOf(parts['plan-decisions']),
    rules: idsOf(parts['plan-rules']),
  };
  for (const name of ['stages', 'checks', 'goalTests', 'decisions', 'rules'] as const)
    need(['plans', name], texts.plans[name], plans[name]);
  // texts may hold sentences that no version of the service asks for yet, so only missing ones are named
  for (const key of PHRASE_KEYS) {
    if (texts.phrases[key] === undefined)
      report('missing-text', file, ['phrases'], `the text of "${key}" is missing`, { value: key });
  }
  for (const d of parts.drills) {
    const words = texts.drills[d.code];
    if (words === undefined) continue;
    const place = ['drills', d.code];
    need([...place, 'targets'], words.targets, causesOf(d.targets));
    need([...place, 'avoid'], words.avoid, causesOf(d.avoid));
  }
  for (const s of parts.sessions) {
    const words = texts.sessions[s.code];
    if (words !== undefined)
      need(['sessions', s.code, 'blocks'], words.blocks, [...new Set(s.blocks.map((b) => b.slot))]);
  }
  for (const o of parts.observations) {
    if (o.sided && texts.observations[o.code]?.sideMeans === undefined)
      report('missing-text', file, ['observations', o.code], 'a sided observation needs sideMeans', {
        value: o.code,
      });
  }
}
