/** What a reader of the plan should know besides. */
import { phrase } from '../assess/phrases.ts';
import type { Message } from '../contract/answer.ts';
import type { Plan } from '../contract/plan.ts';
import type { Frame } from './frame.ts';
import type { Work } from './work.ts';

/** Kinds of change that need more than the longest plan. */
const LONGER: readonly string[] = ['weeks-to-months', 'months'];

export function messagesOf(plan: Plan, frame: Frame, { record, ruleSet, time }: Work): Message[] {
  const info = (code: string, values: { readonly [name: string]: string } = {}, about = {}): Message => ({
    severity: 'info',
    code: `plan-${code}`,
    about,
    text: phrase(ruleSet, `plan-message-${code}`, values),
  });
  const { weeksToRace } = record.swimmer;
  const race = Math.max(1, Math.ceil(weeksToRace ?? 0));
  return [
    ...(plan.kind === 'work' ? [info('honest')] : []),
    ...(time.sessionsPerWeek === 1 && plan.kind === 'work' ? [info('once-a-week')] : []),
    ...(record.swimmer.metresPerWeek === undefined && plan.kind === 'work' ? [info('distance')] : []),
    ...(frame.race !== null && race <= time.weeks ? [info('race', { week: String(race) })] : []),
    ...plan.focus
      .filter((f) => LONGER.includes(ruleSet.causes.get(f.cause)?.timeBand ?? ''))
      .map((f) => info('longer', { label: f.label, expect: f.expect }, { code: f.cause })),
  ];
}
