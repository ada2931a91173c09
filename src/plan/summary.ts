/** The plan in one line and in one or two sentences. */
import { phrase, sideWords } from '../assess/phrases.ts';
import type { PlanTemplate } from '../knowledge/parts.ts';
import type { Ladder } from './ladders.ts';
import type { Week } from './timetable.ts';
import type { Work } from './work.ts';

export function titleOf({ record, ruleSet, time }: Work): string {
  const count = String(time.sessionsPerWeek);
  return phrase(ruleSet, 'plan-title', {
    weeks: String(time.weeks),
    sessions: phrase(ruleSet, count === '1' ? 'plan-sessions-one' : 'plan-sessions', { count }),
    minutes: String(record.options.sessionMinutes),
  });
}

function main(
  template: PlanTemplate,
  weeks: readonly Week[],
  ladders: readonly Ladder[],
  { ruleSet }: Work,
): string {
  if (template.kind === 'hold' || template.kind === 'wait')
    return phrase(ruleSet, `plan-summary-${template.kind}`);
  const at = template.checkpoints.filter((c) => c.film !== 'none').map((c) => c.week);
  const checks = phrase(ruleSet, at.length === 1 ? 'plan-weeks-one' : 'plan-weeks', { weeks: at.join(', ') });
  const [first, second] = ladders;
  if (template.kind === 'keep' || first === undefined)
    return phrase(ruleSet, 'plan-summary-keep', { checks });
  const one = { first: first.focus.label, firstSide: sideWords(ruleSet, first.focus.side), checks };
  if (second === undefined) return phrase(ruleSet, 'plan-summary-one', one);
  const from = weeks.find((w) => w.roles[1] === 'drill' || w.roles[1] === 'warm-up')?.week;
  return phrase(ruleSet, from === undefined ? 'plan-summary-one' : 'plan-summary-two', {
    ...one,
    week: String(from),
    second: second.focus.label,
    secondSide: sideWords(ruleSet, second.focus.side),
  });
}

export function summaryOf(
  template: PlanTemplate,
  weeks: readonly Week[],
  ladders: readonly Ladder[],
  work: Work,
): string {
  const ask =
    work.answer.status === 'ask-more' && template.kind === 'work'
      ? [phrase(work.ruleSet, 'plan-summary-ask')]
      : [];
  return [...ask, main(template, weeks, ladders, work)].join(' ');
}
