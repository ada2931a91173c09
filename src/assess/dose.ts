/** How much of a drill: in words for the pool at hand, and how many repeats fit into the minutes that a session has. */
import type { DrillEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { phrase } from './phrases.ts';
import type { Record } from './record.ts';

/** From this length on (metres) a pool counts as a long one. */
const LONG_POOL = 40;
const METRES_PER_YARD = 0.9144;

function isLong({ recording: { pool } }: Record): boolean {
  return pool != null && pool.unit === 'm' && pool.length >= LONG_POOL;
}

/** With a sore part a drill in the water is done alone and short: nobody swims to the wall in between. */
function isCutShort(code: string, restricted: boolean, ruleSet: RuleSet): boolean {
  const tags = ruleSet.drills.get(code)?.tags ?? [];
  return restricted && !tags.includes('land') && !tags.includes('standing-depth');
}

/** The dose for the pool at hand, in words. */
export function doseFor(code: string, restricted: boolean, record: Record, ruleSet: RuleSet): string {
  const dose = ruleSet.texts.drills[code]?.dose;
  if (dose === undefined) return '';
  if (isCutShort(code, restricted, ruleSet)) return phrase(ruleSet, 'dose-restricted');
  if (record.recording.pool?.unit === 'yd') return dose.yards25;
  return isLong(record) ? dose.metres50 : dose.metres25;
}

/** Seconds of easy swimming for 25 m: the pace of the record unless that was a race, or what is usual at the level. */
function secondsPer25({ recording, swimmer }: Record, ruleSet: RuleSet): number {
  const { pace, paceSecondsPer100 } = recording;
  if (paceSecondsPer100 !== undefined && (pace === 'easy' || pace === 'steady')) return paceSecondsPer100 / 4;
  return ruleSet.parts.constants.sessions.secondsPer25[swimmer.level];
}

/** Is the drill followed by swimming of its own, outside the repeats? */
export function needsTransfer(drill: DrillEntry, restricted: boolean, record: Record): boolean {
  return !restricted && !drill.tags.includes('land') && amountOf(drill, record).withSwim === undefined;
}

function amountOf({ amount }: DrillEntry, record: Record): DrillEntry['amount']['pool25'] {
  return (isLong(record) ? amount.pool50 : undefined) ?? amount.pool25;
}

/** Seconds of one repeat with its rest and, where it needs one, as much swimming again with the same rest. */
export function secondsPerRepeat(
  drill: DrillEntry,
  restricted: boolean,
  record: Record,
  ruleSet: RuleSet,
): number {
  const { metres, seconds = 0, restSeconds, withSwim } = amountOf(drill, record);
  if (metres === undefined) return seconds + restSeconds;
  const long = metres * (record.recording.pool?.unit === 'yd' ? METRES_PER_YARD : 1);
  const swim = (long / 25) * secondsPer25(record, ruleSet);
  if (withSwim) return swim + restSeconds;
  const drilled = swim * ruleSet.parts.constants.sessions.drillPace + restSeconds;
  return drilled + (needsTransfer(drill, restricted, record) ? swim + restSeconds : 0);
}

/** How much of the dose a session asks for: as much as fits, or as little as still is a dose. */
export type Portion = 'most' | 'least';

/**
 * @param minutes what the session has for the drill and the swimming that belongs to it.
 * @returns whole repeats, at least one, or undefined where the dose is not a number of repeats.
 */
export function repeatsIn(
  minutes: number,
  drill: DrillEntry,
  portion: Portion,
  restricted: boolean,
  record: Record,
  ruleSet: RuleSet,
): number | undefined {
  if (isCutShort(drill.code, restricted, ruleSet)) return undefined;
  const { repeats } = amountOf(drill, record);
  const fit = Math.floor((minutes * 60) / secondsPerRepeat(drill, restricted, record, ruleSet));
  return Math.max(1, Math.min(fit, repeats[portion]));
}

/** Whole minutes that a portion of the dose takes with the swimming that belongs to it. */
export function minutesNeeded(
  drill: DrillEntry,
  portion: Portion,
  restricted: boolean,
  record: Record,
  ruleSet: RuleSet,
): number {
  const repeats = amountOf(drill, record).repeats[portion];
  return Math.ceil((repeats * secondsPerRepeat(drill, restricted, record, ruleSet)) / 60);
}

/** The dose in words, and the number where it is not the dose itself that fits. */
export function doseWords(
  drill: DrillEntry,
  repeats: number | undefined,
  restricted: boolean,
  record: Record,
  ruleSet: RuleSet,
): string {
  const values = {
    name: ruleSet.texts.drills[drill.code]?.name ?? drill.code,
    dose: doseFor(drill.code, restricted, record, ruleSet),
    repeats: String(repeats),
  };
  const { least, most } = amountOf(drill, record).repeats;
  if (repeats === undefined || (least === most && repeats === most)) return phrase(ruleSet, 'dose', values);
  return phrase(ruleSet, repeats < least ? 'dose-short' : 'dose-number', values);
}
