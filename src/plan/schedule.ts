/** Which drills fall into which session of a week: no more often than is good, no more at once than fits. */
import { minutesNeeded } from '../assess/dose.ts';
import { templateFor } from '../assess/session.ts';
import type { Drill } from '../contract/answer.ts';
import type { DrillEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Ladder } from './ladders.ts';
import type { Week } from './timetable.ts';
import type { Work } from './work.ts';

/** A drill that a week asks for, so many times. */
interface Wanted {
  readonly drill: Drill;
  readonly times: number;
}

export interface Scheduled {
  /** The drills of each session, in the order of the plan. */
  readonly sessions: readonly (readonly Drill[])[];
  readonly onLand: readonly Drill[];
}

const entryOf = (drill: Drill, ruleSet: RuleSet): DrillEntry => ruleSet.drills.get(drill.code) as DrillEntry;

/** Sessions of a week that hold drills, as far apart as they can be. */
export function spread(count: number, sessions: number): number[] {
  return Array.from({ length: count }, (_, k) => Math.floor(((k + 0.5) * sessions) / count));
}

/** The drills of a week from the ladders, each in its role. */
function drillsOf(week: Week, ladders: readonly Ladder[], ruleSet: RuleSet): Drill[] {
  const { step } = ruleSet.parts.constants.plans.stages[week.stage];
  const all = ladders.flatMap((ladder, i): readonly Drill[] => {
    const role = week.roles[i];
    if (role === 'drill') return ladder.rungs[Math.min(step, ladder.rungs.length - 1)] ?? [];
    if (role !== 'warm-up') return [];
    const first = ladder.rungs[0]?.find((d) => !entryOf(d, ruleSet).tags.includes('land'));
    return first === undefined ? [] : [{ ...first, slot: 'warm-up' }];
  });
  // a drill that serves both focuses is done once, in its fuller role
  return all.filter((d, i) => all.findIndex((o) => o.code === d.code) === i);
}

/** Minutes that the least dose of a drill takes in the technique block; elsewhere it takes none of it. */
function needed(drill: Drill, { concluded, record, ruleSet }: Work): number {
  if (drill.slot !== 'technique') return 0;
  const entry = entryOf(drill, ruleSet);
  return minutesNeeded(entry, 'least', concluded.gate.restrictions.length > 0, record, ruleSet);
}

/** What is left to do of each wanted drill. */
interface Owed extends Wanted {
  left: number;
}

/**
 * The drills of one session: those first that are owed most often, then those that were done in fewer weeks, as long
 * as the technique block has room for most of a dose. The first one is always taken.
 */
function pickToday(
  owed: readonly Owed[],
  weeksDone: ReadonlyMap<string, number>,
  minutes: number,
  work: Work,
) {
  const { record, ruleSet } = work;
  const { shortDose } = ruleSet.parts.constants.plans;
  const most = Math.min(templateFor(record, ruleSet).maxDrills, record.options.drills);
  const weeks = (o: Owed): number => weeksDone.get(o.drill.code) ?? 0;
  const order = owed
    .filter((o) => o.left > 0)
    .sort((a, b) => b.left - a.left || weeks(a) - weeks(b) || owed.indexOf(a) - owed.indexOf(b));
  const today: Owed[] = [];
  let room = minutes;
  for (const o of order) {
    const need = needed(o.drill, work);
    // outside the technique block one drill a block is enough
    const fits =
      need === 0
        ? !today.some((t) => t.drill.slot === o.drill.slot)
        : room === minutes || need * shortDose <= room;
    if (today.length >= most || !fits) continue;
    room -= need;
    today.push(o);
  }
  return owed.filter((o) => today.includes(o));
}

/**
 * @param weeksDone weeks in which each drill was done so far; raised here.
 * @param minutes of the technique block.
 */
export function scheduleWeek(
  week: Week,
  ladders: readonly Ladder[],
  weeksDone: Map<string, number>,
  minutes: number,
  work: Work,
): Scheduled {
  const { ruleSet, time } = work;
  const stage = ruleSet.parts.constants.plans.stages[week.stage];
  const drills = drillsOf(week, ladders, ruleSet).filter(
    (d) => (weeksDone.get(d.code) ?? 0) < (entryOf(d, ruleSet).weeksAtMost ?? Number.POSITIVE_INFINITY),
  );
  const onLand = drills.filter((d) => entryOf(d, ruleSet).tags.includes('land'));
  const days = spread(Math.min(stage.drillSessions, time.sessionsPerWeek), time.sessionsPerWeek);
  const owed = drills
    .filter((d) => !onLand.includes(d))
    .map((drill): Owed => {
      const times = Math.min(days.length, entryOf(drill, ruleSet).perWeek[stage.portion]);
      return { drill, times, left: times };
    });

  const sessions: Drill[][] = Array.from({ length: time.sessionsPerWeek }, () => []);
  for (const day of days) {
    const today = pickToday(owed, weeksDone, minutes, work);
    for (const o of today) o.left -= 1;
    sessions[day] = today.map((o) => o.drill);
  }
  const done = [...owed.filter((o) => o.left < o.times).map((o) => o.drill), ...onLand];
  for (const { code } of done) weeksDone.set(code, (weeksDone.get(code) ?? 0) + 1);
  return { sessions, onLand };
}
