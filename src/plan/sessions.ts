/** The sessions of a week, built by the session stage from the template of the level. */
import { phrase } from '../assess/phrases.ts';
import { planSession, type Shape, shareMinutes, templateFor } from '../assess/session.ts';
import type { Drill } from '../contract/answer.ts';
import type { PlanSession } from '../contract/plan.ts';
import type { Frame } from './frame.ts';
import type { Ladder } from './ladders.ts';
import type { Week } from './timetable.ts';
import type { Work } from './work.ts';

type Film = 'none' | 'half' | 'full';

/** Multipliers of the minutes of each block in this week. */
function factorsOf(week: Week, frame: Frame, work: Work): Shape['factors'] {
  const { technique } = work.ruleSet.parts.constants.plans.stages[week.stage];
  return { technique, ...(frame.gentle ? { build: 0 } : {}) };
}

/** Minutes of the technique block in a session of this week without filming. */
export function techniqueMinutes(week: Week, frame: Frame, work: Work): number {
  const { record, ruleSet } = work;
  const factors = factorsOf(week, frame, work);
  const { blocks } = templateFor(record, ruleSet);
  const minutes = shareMinutes(
    blocks.map((b) => b.minutes * (factors[b.slot] ?? 1)),
    record.options.sessionMinutes,
  );
  return minutes[blocks.findIndex((b) => b.slot === 'technique')] as number;
}

/** The cues that a week keeps in mind, one a focus. */
function cuesOf(week: Week, ladders: readonly Ladder[]): string[] {
  return ladders.flatMap((l, i) =>
    l.cue === null || week.roles[i] === 'none' || week.roles[i] === undefined ? [] : [l.cue],
  );
}

function filmOf(film: Film, frame: Frame, { record, ruleSet }: Work): Shape['film'] {
  if (film === 'none') return undefined;
  const { filmMinutes, filmShare } = ruleSet.parts.constants.plans;
  const most = Math.max(1, Math.floor(record.options.sessionMinutes * filmShare));
  const text = phrase(ruleSet, `plan-film-${frame.kind === 'wait' ? 'wait' : film}`);
  return {
    minutes: Math.min(filmMinutes[film], most),
    text: frame.consentMissing ? `${phrase(ruleSet, 'plan-film-consent')} ${text}` : text,
  };
}

function shapeOf(
  drills: readonly Drill[],
  film: Film,
  week: Week,
  frame: Frame,
  ladders: readonly Ladder[],
  work: Work,
): Shape {
  const { ruleSet } = work;
  const cues = cuesOf(week, ladders).join('; ');
  const swim = frame.varied ? 'plan-swim-varied' : cues === '' ? 'plan-swim' : 'plan-swim-cue';
  const shot = filmOf(film, frame, work);
  return {
    factors: factorsOf(week, frame, work),
    words: {
      technique: phrase(ruleSet, swim, { cues }),
      ...(frame.gentle ? { main: phrase(ruleSet, 'plan-gentle-main') } : {}),
    },
    after: cues === '' ? {} : { main: phrase(ruleSet, 'plan-cue', { cues }) },
    portion: ruleSet.parts.constants.plans.stages[week.stage].portion,
    ...(film !== 'none'
      ? { note: phrase(ruleSet, 'plan-note-film') }
      : drills.length === 0
        ? { note: phrase(ruleSet, 'plan-note-swim') }
        : {}),
    ...(shot === undefined ? {} : { film: shot }),
  };
}

/** Sessions that are alike stand once, with the numbers of all of them. */
function together(sessions: readonly Omit<PlanSession, 'numbers'>[]): PlanSession[] {
  const groups = new Map<string, PlanSession>();
  sessions.forEach((s, i) => {
    const key = JSON.stringify(s);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { numbers: [i + 1], ...s });
    else group.numbers.push(i + 1);
  });
  return [...groups.values()];
}

/** @param film what the last session of the week films. */
export function sessionsOf(
  week: Week,
  drills: readonly (readonly Drill[])[],
  film: Film,
  frame: Frame,
  ladders: readonly Ladder[],
  work: Work,
): PlanSession[] {
  const { choice, concluded, record, ruleSet } = work;
  const sessions = drills.map((own, i) => {
    const shot = i === drills.length - 1 ? film : 'none';
    const shape = shapeOf(own, shot, week, frame, ladders, work);
    const session = planSession({ ...choice, drills: own }, concluded.gate, record, ruleSet, shape);
    const kind = shot !== 'none' ? 'film' : own.length > 0 ? 'drills' : 'swim';
    return { kind, label: phrase(ruleSet, `plan-session-${kind}`), session } as const;
  });
  return together(sessions);
}
