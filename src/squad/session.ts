/** One session for a group: drills that serve the shared focus and are ruled out for as few members as can be. */
import {
  describeDrill,
  doseFor,
  inOrder,
  type Pick,
  pickDrills,
  type Stake,
  stakesOf,
} from '../assess/drills.ts';
import type { Gate } from '../assess/health-gate.ts';
import { phrase } from '../assess/phrases.ts';
import { type Record, toRecord } from '../assess/record.ts';
import { maxDrillsOf, planSession } from '../assess/session.ts';
import type { Drill, Session } from '../contract/answer.ts';
import { LEVELS, type Level } from '../contract/common.ts';
import type { Swap } from '../contract/squad.ts';
import type { DrillEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Fit, Setting } from './reading.ts';

/** Nobody with a restriction is in a group. */
const CLEAR: Gate = { status: 'clear', restrictions: [], aches: [], cautions: [] };

/** Code of a swap that no rule asks for: the drill serves the swimmer's own focus. */
export const OWN_FOCUS = 'own-focus';

export interface GroupSession {
  readonly level: Level;
  readonly drills: readonly Drill[];
  readonly session: Session;
  /** Drills that the warm-up of the template names. */
  readonly alsoNamed: readonly string[];
}

const serves = (drill: DrillEntry, causes: readonly string[]): boolean =>
  drill.targets.some((t) => t.effect > 0 && causes.includes(t.cause));

const ownStakes = (fit: Fit, ruleSet: RuleSet): Stake[] =>
  stakesOf(fit.causes, fit.focus, fit.findings, ruleSet);

/** What is at stake for all members together, cause by cause and side by side. */
function sharedStakes(members: readonly Fit[], ruleSet: RuleSet): Stake[] {
  const sum = new Map<string, Stake>();
  for (const stake of members.flatMap((m) => ownStakes(m, ruleSet))) {
    const key = `${stake.cause}@${stake.side}`;
    sum.set(key, { ...stake, value: stake.value + (sum.get(key)?.value ?? 0) });
  }
  return [...sum].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, stake]) => stake);
}

/** The drills that everybody may do, if they hold one for the focus; else those that the fewest have to leave out. */
function groupPicks(cause: string, k: number, members: readonly Fit[], ruleSet: RuleSet): Pick[] {
  const stakes = sharedStakes(members, ruleSet);
  const outFor = (drill: DrillEntry): number => members.filter((m) => m.excluded.has(drill.code)).length;
  const serving = ruleSet.parts.drills
    .filter((d) => serves(d, [cause]))
    .map((drill) => ({ drill, out: outFor(drill) }));
  for (let out = 0; out < members.length; out++) {
    const pool = serving.filter((s) => s.out <= out).map((s) => s.drill);
    const picks = pickDrills(pool, stakes, k, ruleSet.parts.constants.drills.effectShare);
    if (picks.length > 0) return picks;
  }
  return [];
}

export const levelOf = (members: readonly Fit[]): Level =>
  LEVELS[Math.min(...members.map((m) => LEVELS.indexOf(m.record.swimmer.level)))] as Level;

/** The pool that the squad names, else the one that all records agree on. */
export function poolOf(setting: Setting, members: readonly Fit[]): Setting['pool'] {
  if (setting.pool !== undefined) return setting.pool;
  const named = members.flatMap((m) =>
    m.record.recording.pool === undefined ? [] : [m.record.recording.pool],
  );
  const distinct = new Set(named.map((pool) => JSON.stringify(pool && [pool.length, pool.unit])));
  return distinct.size === 1 ? named[0] : undefined;
}

export function groupRecord(
  members: readonly Fit[],
  setting: Setting,
  pool: Setting['pool'],
  ruleSet: RuleSet,
): Record {
  return toRecord(
    {
      swimmer: { level: levelOf(members) },
      recording: pool === undefined ? {} : { pool },
      options: { sessionMinutes: setting.minutes },
    },
    ruleSet,
  );
}

export function groupSession(
  cause: string | null,
  members: readonly Fit[],
  record: Record,
  ruleSet: RuleSet,
): GroupSession {
  const k = Math.min(maxDrillsOf(record, ruleSet), record.options.drills, ...members.map((m) => m.maxDrills));
  const picks = cause === null ? [] : groupPicks(cause, k, members, ruleSet);
  const drills = inOrder(picks, ruleSet).map((pick) => describeDrill(pick, false, record, ruleSet));
  const session = planSession({ drills, excluded: [], allowed: new Set() }, CLEAR, record, ruleSet);
  const template = ruleSet.parts.sessions.find((s) => s.code === session.template);
  return {
    level: record.swimmer.level,
    drills,
    session,
    alsoNamed: template?.blocks.flatMap((b) => b.drills) ?? [],
  };
}

/** The drill that gives this swimmer most and serves one of the causes; never one that is ruled out. */
function ownDrill(
  fit: Fit,
  causes: readonly string[],
  taken: readonly Drill[],
  ruleSet: RuleSet,
): DrillEntry | undefined {
  const families = new Set(taken.map((d) => ruleSet.drills.get(d.code)?.family));
  const pool = ruleSet.parts.drills.filter(
    (d) => serves(d, causes) && !fit.excluded.has(d.code) && !families.has(d.family),
  );
  const [pick] = pickDrills(pool, ownStakes(fit, ruleSet), 1, ruleSet.parts.constants.drills.effectShare);
  return pick?.drill;
}

function brief(drill: DrillEntry, record: Record, ruleSet: RuleSet): NonNullable<Swap['instead']> {
  const text = ruleSet.texts.drills[drill.code];
  return {
    drill: drill.code,
    name: text?.name ?? drill.code,
    cue: text?.cues[0] ?? '',
    dose: doseFor(drill.code, false, record, ruleSet),
  };
}

/**
 * What one swimmer does otherwise than the group: another drill for each that is ruled out for him, and, where the lane
 * works on something else than his own focus, a drill of his own in the place of the last one.
 */
export function swapsOf(
  fit: Fit,
  cause: string | null,
  group: GroupSession,
  record: Record,
  ruleSet: RuleSet,
): Swap[] {
  const own = fit.focus.map((f) => f.cause);
  const out = group.drills.filter((d) => fit.excluded.has(d.code));
  const kept = group.drills.filter((d) => !out.includes(d));
  const outside = cause !== null && own.length > 0 && !own.includes(cause);
  const last = kept.at(-1);
  const given = outside && last !== undefined && group.drills.length > 1 ? [last] : [];
  const taken = kept.filter((d) => !given.includes(d));
  const causes = outside || cause === null ? own : [cause, ...own];
  return [...out, ...given].flatMap((d): Swap[] => {
    const excluded = fit.excluded.get(d.code);
    const drill = ownDrill(fit, causes, taken, ruleSet);
    // without another drill of his own he stays with the group
    if (excluded === undefined && (drill === undefined || drill.code === d.code)) return [];
    if (drill !== undefined) taken.push({ ...d, code: drill.code });
    return [
      {
        drill: d.code,
        name: d.name,
        because:
          excluded === undefined
            ? { code: OWN_FOCUS, text: phrase(ruleSet, 'squad-own-drill') }
            : { code: excluded.rule, text: excluded.text },
        instead: drill === undefined ? null : brief(drill, record, ruleSet),
      },
    ];
  });
}
