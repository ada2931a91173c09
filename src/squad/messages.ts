/** What a coach should know about a lane, and about how the whole answer came about. */

import { sortMessages } from '../assess/messages.ts';
import { equipmentWords, phrase } from '../assess/phrases.ts';
import type { Message } from '../contract/answer.ts';
import { LEVELS } from '../contract/common.ts';
import type { SquadRequest } from '../contract/squad.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Grouping } from './grouping.ts';
import type { Fit, Reading } from './reading.ts';
import type { GroupSession } from './session.ts';
import { paceOf } from './swimmer.ts';

type Values = { readonly [name: string]: string };

const message = (severity: Message['severity'], code: string, values: Values, ruleSet: RuleSet): Message => ({
  severity,
  code,
  about: {},
  text: phrase(ruleSet, code, values),
});

/** Largest difference between paces of one effort, as a share of the fastest. */
function paceGap(members: readonly Fit[]): number {
  const byEffort = new Map<string, number[]>();
  for (const pace of members.map(paceOf)) {
    if (pace === undefined) continue;
    byEffort.set(pace.effort, [...(byEffort.get(pace.effort) ?? []), pace.secondsPer100]);
  }
  return Math.max(0, ...[...byEffort.values()].map((s) => Math.max(...s) / Math.min(...s) - 1));
}

export function groupMessages(members: readonly Fit[], session: GroupSession, ruleSet: RuleSet): Message[] {
  const { squad } = ruleSet.parts.constants;
  const messages: Message[] = [];
  const warn = (code: string, values: Values = {}): unknown =>
    messages.push(message('warning', code, values, ruleSet));
  const levels = LEVELS.filter((level) => members.some((m) => m.record.swimmer.level === level));
  if (levels.length > 1)
    warn('squad-levels-differ', { levels: levels.map((l) => ruleSet.texts.lists.levels[l] ?? l).join(', ') });
  const ages = members.map((m) => m.record.swimmer.age);
  if (ages.some((a) => a !== undefined && a < 18) && ages.some((a) => a !== undefined && a >= 18))
    warn('squad-ages-differ');
  const gap = paceGap(members);
  if (gap > squad.paceTolerance + 1e-9)
    warn('squad-paces-differ', { percent: String(Math.round(gap * 100)) });
  if (members.length >= squad.crowdedFrom) warn('squad-crowded', { count: String(members.length) });
  if (members.some((m) => m.record.swimmer.equipment === undefined)) {
    for (const drill of session.drills.filter((d) => d.equipment.length > 0)) {
      const equipment = drill.equipment.map((code) => equipmentWords(ruleSet, code)).join(', ');
      messages.push({
        severity: 'info',
        code: 'equipment-unknown',
        about: { code: drill.code },
        text: phrase(ruleSet, 'equipment-unknown', { label: drill.name, equipment }),
      });
    }
  }
  return sortMessages(messages);
}

export function squadMessages(
  request: SquadRequest,
  readings: readonly Reading[],
  grouping: Grouping,
  pool: SquadRequest['pool'],
  ruleSet: RuleSet,
): Message[] {
  const messages: Message[] = [];
  const tell = (severity: Message['severity'], code: string, values: Values = {}): unknown =>
    messages.push(message(severity, code, values, ruleSet));
  const refsOf = (some: readonly Reading[]): string => some.map((r) => r.ref).join(', ');

  const unasked = readings.filter((r) => !r.record.health?.asked);
  if (unasked.length > 0) tell('warning', 'squad-health-not-asked', { members: refsOf(unasked) });
  if (!grouping.sizes.kept) {
    const { min, max } = grouping.sizes;
    tell('warning', 'squad-sizes-not-kept', { min: String(min), max: String(max) });
  }
  const optioned = readings.filter((r) => r.request.options !== undefined);
  if (optioned.length > 0) tell('info', 'squad-options-not-used', { members: refsOf(optioned) });
  if (pool === undefined) tell('info', 'squad-pool-not-known');
  const free = request.lanes - grouping.groups.length;
  if (free > 0) tell('info', 'squad-lanes-free', { count: String(free) });
  if (grouping.method === 'search') tell('info', 'squad-search');
  return sortMessages(messages);
}
