/** One session for a group: drills that serve the shared focus and are ruled out for as few members as can be. */
import { doseFor } from '../assess/dose.ts';
import { describeDrill, inOrder, type Pick, pickDrills, type Stake, stakesOf } from '../assess/drills.ts';
import type { Gate } from '../assess/health-gate.ts';
import { phrase } from '../assess/phrases.ts';
import { type Record, toRecord } from '../assess/record.ts';
import { maxDrillsOf, planSession } from '../assess/session.ts';
import type { Drill, Session } from '../contract/answer.ts';
import { LEVELS, type Level } from '../contract/common.ts';
import type { Swap } from '../contract/squad.ts';
import type { DrillEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Weights } from './points.ts';
import type { Fit, Setting } from './reading.ts';
import { aimsOf } from './swimmer.ts';

/** Nobody with a restriction is in a group. */
const CLEAR: Gate = { status: 'clear', restrictions: [], aches: [], cautions: [] };

/** Code of a swap that no rule asks for: the drill serves the swimmer's own focus. */
export const OWN_FOCUS = 'own-focus';

export interface GroupSession {
  readonly level: Level;
  /** Another focus that members share and some drill serves. */
  readonly second: string | null;
  readonly drills: readonly Drill[];
  readonly session: Session;
}

const serves = (drill: DrillEntry, causes: readonly string[]): boolean =>
  drill.targets.some((t) => t.effect > 0 && causes.includes(t.cause));

/** True when a drill serves a cause. */
export function helps(drill: string, cause: string, ruleSet: RuleSet): boolean {
  const entry = ruleSet.drills.get(drill);
  return entry !== undefined && serves(entry, [cause]);
}

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

/** The drills that everybody may do, if they hold one for the cause; else those that the fewest have to leave out. */
function picksFor(
  cause: string,
  k: number,
  stakes: readonly Stake[],
  taken: readonly Pick[],
  members: readonly Fit[],
  ruleSet: RuleSet,
): Pick[] {
  const families = new Set(taken.map((p) => p.drill.family));
  const serving = ruleSet.parts.drills
    .filter((d) => serves(d, [cause]) && !families.has(d.family))
    .map((drill) => ({ drill, out: members.filter((m) => m.excluded.has(drill.code)).length }));
  for (let out = 0; out < members.length; out++) {
    const pool = serving.filter((s) => s.out <= out).map((s) => s.drill);
    const picks = pickDrills(pool, stakes, k, ruleSet.parts.constants.drills.effectShare);
    if (picks.length > 0) return picks;
  }
  return [];
}

/** What the picks leave of each stake. */
function leftOf(stakes: readonly Stake[], picks: readonly Pick[]): Stake[] {
  const share = (pick: Pick, stake: Stake): number =>
    pick.shares.find((s) => s.stake.cause === stake.cause && s.stake.side === stake.side)?.share ?? 0;
  return stakes.map((stake) => ({
    ...stake,
    value: picks.reduce((value, pick) => value * (1 - share(pick, stake)), stake.value),
  }));
}

/** The other own focus that weighs most among the members; one swimmer alone makes no second thing for a lane. */
function secondCause(cause: string, members: readonly Fit[], weights: Weights): string | null {
  const sums = new Map<string, { count: number; worth: number }>();
  for (const aim of members.flatMap((m) => aimsOf(m, weights))) {
    const sum = sums.get(aim.cause) ?? { count: 0, worth: 0 };
    sums.set(aim.cause, { count: sum.count + 1, worth: sum.worth + aim.worth });
  }
  const shared = [...sums].filter(([code, sum]) => code !== cause && sum.count > 1);
  shared.sort(([a, x], [b, y]) => y.worth - x.worth || (a < b ? -1 : 1));
  return shared[0]?.[0] ?? null;
}

/** Drills for the shared focus first; where a second focus is shared, what room is left goes to it, at least one place. */
function groupPicks(
  cause: string,
  second: string | null,
  k: number,
  members: readonly Fit[],
  ruleSet: RuleSet,
): Pick[] {
  const stakes = sharedStakes(members, ruleSet);
  const kept = second === null || k < 2 ? k : Math.ceil(k / 2);
  const picks = picksFor(cause, kept, stakes, [], members, ruleSet);
  if (second === null || k === picks.length) return picks;
  const more = picksFor(second, k - picks.length, leftOf(stakes, picks), picks, members, ruleSet);
  return [...picks, ...more];
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

/** The slowest at an easy or steady pace: what fits into the minutes for this swimmer fits for all. */
function slowestOf(members: readonly Fit[]): Record['recording'] {
  const known = members
    .map((m) => m.record.recording)
    .filter(({ pace }) => pace === 'easy' || pace === 'steady')
    .flatMap(({ pace, paceSecondsPer100 }) =>
      paceSecondsPer100 === undefined ? [] : { pace, paceSecondsPer100 },
    );
  known.sort(
    (a, b) => b.paceSecondsPer100 - a.paceSecondsPer100 || ((a.pace ?? '') < (b.pace ?? '') ? -1 : 1),
  );
  return known[0] ?? {};
}

/** The record that stands for a group where a session is planned. */
export function groupRecord(
  members: readonly Fit[],
  setting: Setting,
  pool: Setting['pool'],
  ruleSet: RuleSet,
): Record {
  return toRecord(
    {
      swimmer: { level: levelOf(members) },
      recording: { ...slowestOf(members), ...(pool === undefined ? {} : { pool }) },
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
  const second = cause === null ? null : secondCause(cause, members, ruleSet.parts.constants.squad);
  const picks = cause === null ? [] : groupPicks(cause, second, k, members, ruleSet);
  // what one member may not do stands neither in the words of the template nor in the next step of a drill
  const open = ruleSet.parts.drills.filter((d) => !members.some((m) => m.excluded.has(d.code)));
  const allowed = new Set(open.map((d) => d.code));
  const drills = inOrder(picks, ruleSet).map((pick) => describeDrill(pick, false, allowed, record, ruleSet));
  return {
    level: record.swimmer.level,
    second: second !== null && drills.some((d) => helps(d.code, second, ruleSet)) ? second : null,
    drills,
    session: planSession({ drills, excluded: [], allowed }, CLEAR, record, ruleSet),
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
 * What one swimmer does otherwise than the group: another drill for each that is ruled out for this swimmer, and, where
 * nothing in the session serves the swimmer's own focus, a drill that does in the place of the last one.
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
  const served = own.length === 0 || kept.some((d) => own.some((c) => helps(d.code, c, ruleSet)));
  const given = served ? [] : kept.slice(-1);
  const taken = kept.filter((d) => !given.includes(d));
  const causes = cause !== null && (own.length === 0 || own.includes(cause)) ? [cause, ...own] : own;
  return [...out, ...given].flatMap((d): Swap[] => {
    const excluded = fit.excluded.get(d.code);
    const drill = ownDrill(fit, causes, taken, ruleSet);
    // without another drill of the swimmer's own nothing changes
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
