/** What a week adds up to: how much of each drill, and where the minutes go. */
import { phrase } from '../assess/phrases.ts';
import type { DrillDose, PlanSession, PlanWeek } from '../contract/plan.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

type Part = DrillDose['parts'][number];

const sum = (list: readonly number[]): number => list.reduce((a, b) => a + b, 0);

/** Sum of sessions x value; null as soon as one value is not a number. */
function total(parts: readonly Part[], value: (p: Part) => number | null): number | null {
  const values = parts.map((p) => ({ n: p.sessions, v: value(p) }));
  return values.some((x) => x.v === null) ? null : sum(values.map((x) => x.n * (x.v as number)));
}

const line = (parts: readonly Part[], value: (p: Part) => number | null): string =>
  parts.map((p) => `${p.sessions} x ${value(p)}`).join(' + ');

/** Each drill of the week: sessions x repeats and sessions x minutes, added up. */
export function dosesOf(sessions: readonly PlanSession[], ruleSet: RuleSet): DrillDose[] {
  const parts = new Map<string, Part[]>();
  for (const { numbers, session } of sessions) {
    for (const { drill, repeats = null, minutes = null } of session.blocks.flatMap((b) => b.items)) {
      if (drill === undefined) continue;
      const list = parts.get(drill) ?? [];
      const same = list.find((p) => p.repeats === repeats && p.minutes === minutes);
      if (same === undefined) list.push({ sessions: numbers.length, repeats, minutes });
      else same.sessions += numbers.length;
      parts.set(drill, list);
    }
  }
  return [...parts].map(([drill, list]): DrillDose => {
    const name = ruleSet.texts.drills[drill]?.name ?? drill;
    const [repeats, minutes] = [total(list, (p) => p.repeats), total(list, (p) => p.minutes)];
    const times = sum(list.map((p) => p.sessions));
    const key = minutes === null ? 'plan-dose-times' : repeats === null ? 'plan-dose-minutes' : 'plan-dose';
    const text = phrase(ruleSet, key, {
      name,
      times: String(times),
      minutes: `${line(list, (p) => p.minutes)} = ${minutes}`,
      repeats: `${line(list, (p) => p.repeats)} = ${repeats}`,
    });
    return { drill, name, parts: list, repeats, minutes, text };
  });
}

/** Minutes of the week by block; they add up to sessions x length. */
export function minutesOf(
  sessions: readonly PlanSession[],
  doses: readonly DrillDose[],
  ruleSet: RuleSet,
): PlanWeek['minutes'] {
  const slots = new Map<string, PlanWeek['minutes']['slots'][number]>();
  for (const { numbers, session } of sessions) {
    for (const { slot, label, minutes } of session.blocks) {
      const entry = slots.get(slot) ?? { slot, label, minutes: 0 };
      slots.set(slot, { ...entry, minutes: entry.minutes + numbers.length * minutes });
    }
  }
  const count = sum(sessions.map((s) => s.numbers.length));
  const length = sessions[0]?.session.minutes ?? 0;
  const drills = sum(doses.map((d) => d.minutes ?? 0));
  const text = phrase(ruleSet, 'plan-minutes', {
    sum: `${count} x ${length} = ${count * length}`,
    slots: [...slots.values()].map((s) => `${s.label} ${s.minutes}`).join(' + '),
    drills: String(drills),
  });
  return { total: count * length, drills, slots: [...slots.values()], text };
}
