/** The weeks of a template as they are for this swimmer: one focus or two, no stage too high, a race in between. */
import type { PlanTemplate, PlanWeekEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Frame, lower, type Stage } from './frame.ts';

export type Role = PlanWeekEntry['first'];

export interface Week {
  readonly week: number;
  readonly stage: Stage;
  /** One for each focus, in order. */
  readonly roles: readonly Role[];
  readonly volume: number;
}

/** @param weeksToRace as the record says; the race falls into the last of these weeks. */
function inRaceWeeks(week: number, frame: Frame, weeksToRace: number | undefined): boolean {
  if (frame.race === null || weeksToRace === undefined) return false;
  const race = Math.max(1, Math.ceil(weeksToRace));
  return week <= race && week >= race - frame.race.weeksBefore;
}

export function timetableOf(
  template: PlanTemplate,
  focusCount: number,
  frame: Frame,
  weeksToRace: number | undefined,
): Week[] {
  return template.timetable.map((entry): Week => {
    const alone = focusCount === 1;
    const roles = alone ? [entry.alone.role] : [entry.first, entry.second].slice(0, focusCount);
    const { week, volume } = entry;
    if (inRaceWeeks(week, frame, weeksToRace)) {
      return { week, stage: 'race', roles: roles.map(() => 'cue'), volume };
    }
    return { week, stage: lower(alone ? entry.alone.stage : entry.stage, frame.highest), roles, volume };
  });
}

export function stepsOf(weeks: readonly Week[], ruleSet: RuleSet): number {
  const { stages } = ruleSet.parts.constants.plans;
  return Math.max(0, ...weeks.map((w) => stages[w.stage].step));
}
