/** From an assessment and the time there is to a plan by week and session, with the points at which to decide. Pure. */
import { consider, headOf } from '../assess/assess.ts';
import { raiseCautions } from '../assess/cautions.ts';
import { sortMessages } from '../assess/messages.ts';
import { phrase, sideWords } from '../assess/phrases.ts';
import { type Flow, runFlow } from '../assess/pipeline.ts';
import { decisionIdOf, toRecord } from '../assess/record.ts';
import type { Plan, PlanAnswer, PlanRequest, PlanWeek } from '../contract/plan.ts';
import type { PlanTemplate } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { checkpointsOf, type Practice } from './checkpoints.ts';
import { type Frame, frameOf } from './frame.ts';
import { drillsNamed, type Ladder, ladderOf, planFocus } from './ladders.ts';
import { loadOf } from './load.ts';
import { messagesOf } from './messages.ts';
import { scheduleWeek } from './schedule.ts';
import { sessionsOf, techniqueMinutes } from './sessions.ts';
import { summaryOf, titleOf } from './summary.ts';
import { dosesOf, minutesOf } from './sums.ts';
import { type Role, stepsOf, timetableOf, type Week } from './timetable.ts';
import type { Work } from './work.ts';

/** What a focus does in a week. A focus none of whose drills came to be is kept in mind at most. */
function roleOf(
  { focus, rungs, cue }: Ladder,
  planned: Role,
  practised: ReadonlySet<string>,
  ruleSet: RuleSet,
): PlanWeek['focus'][number] {
  const { cause, side, label } = focus;
  const drills = rungs.flat();
  const done = drills.some((d) => practised.has(d.code));
  const role = planned === 'none' || done ? planned : cue === null ? 'none' : 'cue';
  const clinician = ruleSet.causes.get(cause)?.timeBand === 'clinician-first';
  const key = drills.length > 0 || planned === 'none' ? role : clinician ? 'clinician' : 'empty';
  const text = phrase(ruleSet, `plan-role-${key}`, { label, side: sideWords(ruleSet, side) });
  return { cause, side, role, text };
}

function weekOf(
  week: Week,
  film: PlanTemplate['checkpoints'][number]['film'],
  frame: Frame,
  ladders: readonly Ladder[],
  weeksDone: Map<string, number>,
  work: Work,
): PlanWeek {
  const { record, ruleSet } = work;
  const minutes = techniqueMinutes(week, frame, work);
  const { sessions: drills, onLand } = scheduleWeek(week, ladders, weeksDone, minutes, work);
  const sessions = sessionsOf(week, drills, film, frame, ladders, work);
  const dose = dosesOf(sessions, ruleSet);
  const practised = new Set([...dose.map((d) => d.drill), ...onLand.map((d) => d.code)]);
  const stage = ruleSet.texts.plans.stages[week.stage] as RuleSet['texts']['plans']['stages'][string];
  const pool = record.recording.pool?.unit === 'yd' ? 'yards25' : 'metres25';
  return {
    week: week.week,
    stage: week.stage,
    ...stage,
    focus: ladders.map((ladder, i) => roleOf(ladder, week.roles[i] ?? 'none', practised, ruleSet)),
    sessions,
    onLand: onLand.map(({ code, name, perWeek }) => ({
      drill: code,
      name,
      times: { ...(ruleSet.drills.get(code)?.perWeek ?? { least: 1, most: 1 }) },
      text: phrase(ruleSet, 'plan-on-land', {
        name,
        dose: ruleSet.texts.drills[code]?.dose[pool] ?? '',
        perWeek: perWeek.toLowerCase(),
      }),
    })),
    dose,
    minutes: minutesOf(sessions, dose, ruleSet),
    load: loadOf(week, frame, work),
  };
}

/** Sessions of each week that hold a drill of each focus. */
function practiceOf(weeks: readonly PlanWeek[], ladders: readonly Ladder[]): Practice {
  const own = ladders.map((l) => new Set(l.rungs.flat().map((d) => d.code)));
  return weeks.map(({ week, sessions }) => ({
    week,
    perFocus: own.map((codes) =>
      sessions
        .filter((s) =>
          s.session.blocks.some((b) => b.items.some((i) => i.drill !== undefined && codes.has(i.drill))),
        )
        .reduce((sum, s) => sum + s.numbers.length, 0),
    ),
  }));
}

function planOf(frame: Frame, work: Work): { plan: Plan; ladders: Ladder[] } {
  const { answer, record, ruleSet, time } = work;
  const template = ruleSet.parts.plans.find(
    (p) => p.kind === frame.kind && p.weeks === time.weeks,
  ) as PlanTemplate;
  const { weeksToRace } = record.swimmer;
  const timetable = timetableOf(template, answer.focus.length, frame, weeksToRace);
  const ladders: Ladder[] = [];
  for (const focus of answer.focus) {
    const taken = ladders.flatMap((l) => (l.cue === null ? [] : [l.cue]));
    ladders.push(ladderOf(focus, stepsOf(timetable, ruleSet), taken, work));
  }
  const weeksDone = new Map<string, number>();
  const weeks = timetable.map((week) => {
    const film = template.checkpoints.find((c) => c.week === week.week)?.film ?? 'none';
    return weekOf(week, film, frame, ladders, weeksDone, work);
  });
  const sum = (value: (w: PlanWeek) => number): number => weeks.reduce((s, w) => s + value(w), 0);
  const totals = {
    sessions: time.weeks * time.sessionsPerWeek,
    minutes: sum((w) => w.minutes.total),
    drillMinutes: sum((w) => w.minutes.drills),
  };
  const checkpoints = checkpointsOf(template, frame.gentle, ladders, practiceOf(weeks, ladders), work);
  const plan: Plan = {
    template: template.code,
    kind: template.kind,
    title: titleOf(work),
    summary: summaryOf(template, timetable, ladders, work),
    asked: {
      weeks: time.weeks,
      sessionsPerWeek: time.sessionsPerWeek,
      sessionMinutes: record.options.sessionMinutes,
    },
    because: [...frame.because],
    focus: ladders.map((l) => planFocus(l, ruleSet)),
    weeks,
    checkpoints,
    totals: {
      ...totals,
      text: phrase(ruleSet, 'plan-total', {
        minutes: String(totals.minutes),
        sessions: String(totals.sessions),
        drills: String(totals.drillMinutes),
      }),
    },
  };
  return { plan, ladders };
}

function* flow(request: PlanRequest, ruleSet: RuleSet): Flow<PlanAnswer> {
  const { sessionsPerWeek, weeks, ...assessment } = request;
  const record = toRecord(assessment, ruleSet);
  const time = { sessionsPerWeek, weeks };
  const head = headOf(assessment, decisionIdOf(record, ruleSet, { plan: time }), ruleSet);
  const assessmentId = decisionIdOf(record, ruleSet);
  const considered = yield* consider(record, head, ruleSet);
  if (!('choice' in considered)) return { ...considered.answer, assessmentId };

  const { answer, study: concluded, choice } = considered;
  const work: Work = { answer, concluded, choice, record, ruleSet, time };
  const frame = yield* frameOf(concluded.slots, ruleSet);
  const { plan, ladders } = planOf(frame, work);
  const drills = drillsNamed(ladders);
  const cautions = yield* raiseCautions(concluded.slots, concluded.gate, drills, ruleSet, frame.cautions);
  const { status, summary, restrictions, excludedDrills, nextLooks, messages } = answer;
  return {
    ...head,
    assessmentId,
    status,
    summary,
    restrictions,
    plan,
    drills,
    excludedDrills,
    nextLooks,
    cautions,
    messages: sortMessages([...messages, ...messagesOf(plan, frame, work)]),
  };
}

/**
 * Plans some weeks of work from one record.
 *
 * @param request must be valid for this rule set.
 * @returns the plan, or the cautions of a record that a health sign stops.
 */
export function plan(request: PlanRequest, ruleSet: RuleSet): Promise<PlanAnswer> {
  return runFlow(flow(request, ruleSet));
}
