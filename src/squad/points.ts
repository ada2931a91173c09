/**
 * What a group is worth. The objective of the whole grouping is the sum over its groups, so a group can be judged alone:
 *
 *   focus    sum over members of P(own focus) x (1 first, s second) where the focus of the group is theirs
 *   outside  - cost for each member with a focus of his own that is another one
 *   levels   - cost for each member and each level above the lowest of the group
 *   ages     - cost for each swimmer of the smaller party where minors and adults mix
 *   paces    - cost of being slower than the fastest (filmed at the same effort) beyond a tolerance, capped
 *   size     - cost x (members - even share)^2
 *
 * The focus of a group is the own focus of some member with the largest `focus - outside`. Before all of it comes one
 * rule: as few novice and advanced swimmers as can be share a lane (`breaks`). The weights are constants of the rule set,
 * marked judgement.
 */
import type { Points } from '../contract/squad.ts';
import type { Constants } from '../knowledge/parts.ts';

export type Weights = Constants['squad'];

/** One thing a swimmer should work on; worth is 0 to 1. */
export interface Aim {
  readonly cause: string;
  readonly worth: number;
}

/** All that grouping asks of a swimmer. */
export interface Swimmer {
  /** 0 novice, 1 intermediate, 2 advanced. */
  readonly level: number;
  readonly adult: boolean | undefined;
  readonly pace: { readonly effort: string; readonly secondsPer100: number } | undefined;
  /** Own focus in order, at most two. */
  readonly aims: readonly Aim[];
}

/** Swimmers as numbers, for the inner loops. */
export interface Field {
  readonly swimmers: readonly Swimmer[];
  /** Causes that are somebody's focus, sorted. */
  readonly causes: readonly string[];
  /** For each swimmer: index of the cause, and worth plus the cost that it spares. */
  readonly gains: readonly (readonly { readonly cause: number; readonly gain: number }[])[];
  /** Effort of the known pace of each swimmer as a number; -1 unknown. */
  readonly effort: Int32Array;
  readonly seconds: Float64Array;
  readonly efforts: number;
  readonly even: number;
  readonly weights: Weights;
}

/** A group that can grow and shrink. */
export interface Tally {
  readonly members: number[];
  readonly levels: [number, number, number];
  minors: number;
  adults: number;
  /** Members with a focus of their own. */
  focused: number;
  /** By cause: what its own members gain with it. */
  readonly gains: Float64Array;
  /** By effort: seconds of the fastest, and what the paces of the others cost. */
  readonly fastest: Float64Array;
  readonly paceCosts: Float64Array;
}

/** One broken rule outweighs any sum of points. */
const BREAK = 1e6;

export function fieldOf(swimmers: readonly Swimmer[], even: number, weights: Weights): Field {
  const causes = [...new Set(swimmers.flatMap((s) => s.aims.map((a) => a.cause)))].sort();
  const efforts = [...new Set(swimmers.flatMap((s) => (s.pace === undefined ? [] : [s.pace.effort])))].sort();
  return {
    swimmers,
    causes,
    gains: swimmers.map((s) =>
      s.aims.map((a) => ({ cause: causes.indexOf(a.cause), gain: a.worth + weights.outside })),
    ),
    effort: Int32Array.from(swimmers, (s) => (s.pace === undefined ? -1 : efforts.indexOf(s.pace.effort))),
    seconds: Float64Array.from(swimmers, (s) => s.pace?.secondsPer100 ?? 0),
    efforts: efforts.length,
    even,
    weights,
  };
}

export function emptyTally(field: Field): Tally {
  return {
    members: [],
    levels: [0, 0, 0],
    minors: 0,
    adults: 0,
    focused: 0,
    gains: new Float64Array(field.causes.length),
    fastest: new Float64Array(field.efforts).fill(Number.POSITIVE_INFINITY),
    paceCosts: new Float64Array(field.efforts),
  };
}

function slowness(i: number, fastest: number, { seconds, weights }: Field): number {
  const beyond = (seconds[i] as number) / fastest - 1 - weights.paceTolerance;
  // a billionth is rounding
  return beyond > 1e-9 ? Math.min(weights.paceMost, weights.pace * beyond) : 0;
}

/** A slower swimmer changes the cost by his own; a new fastest or the loss of the fastest changes everybody's. */
function countPace(tally: Tally, i: number, by: 1 | -1, field: Field): void {
  const effort = field.effort[i] as number;
  if (effort < 0) return;
  const { fastest, paceCosts } = tally;
  const lead = fastest[effort] as number;
  if ((field.seconds[i] as number) > lead) {
    paceCosts[effort] = (paceCosts[effort] as number) + by * slowness(i, lead, field);
    return;
  }
  let newLead = by > 0 ? (field.seconds[i] as number) : Number.POSITIVE_INFINITY;
  for (let at = 0; by < 0 && at < tally.members.length; at++) {
    const m = tally.members[at] as number;
    if (field.effort[m] === effort) newLead = Math.min(newLead, field.seconds[m] as number);
  }
  let cost = 0;
  for (const m of tally.members) if (field.effort[m] === effort) cost += slowness(m, newLead, field);
  fastest[effort] = newLead;
  paceCosts[effort] = cost;
}

/** Counts a swimmer who has just joined or left the list of members. */
function count(tally: Tally, i: number, by: 1 | -1, field: Field): void {
  const swimmer = field.swimmers[i] as Swimmer;
  const level = swimmer.level as 0 | 1 | 2;
  tally.levels[level] += by;
  if (swimmer.adult === true) tally.adults += by;
  if (swimmer.adult === false) tally.minors += by;
  if (swimmer.aims.length > 0) tally.focused += by;
  for (const { cause, gain } of field.gains[i] ?? [])
    tally.gains[cause] = (tally.gains[cause] as number) + by * gain;
  countPace(tally, i, by, field);
}

export function put(tally: Tally, i: number, field: Field): void {
  tally.members.push(i);
  count(tally, i, 1, field);
}

export function take(tally: Tally, i: number, field: Field): void {
  const at = tally.members.indexOf(i);
  tally.members[at] = tally.members.at(-1) as number;
  tally.members.pop();
  count(tally, i, -1, field);
}

/** Index of the focus of the group; -1 when nobody has one. Ties go to the first in the alphabet. */
export function focusOf(tally: Tally): number {
  if (tally.focused === 0) return -1;
  let best = 0;
  for (let c = 1; c < tally.gains.length; c++) {
    if ((tally.gains[c] as number) > (tally.gains[best] as number) + 1e-9) best = c;
  }
  return best;
}

function levelBreaks(tally: Tally): number {
  return Math.min(tally.levels[0], tally.levels[2]);
}

function levelSteps({ levels: [novice, intermediate, advanced] }: Tally): number {
  if (novice > 0) return intermediate + 2 * advanced;
  return intermediate > 0 ? advanced : 0;
}

function paceCost({ paceCosts }: Tally): number {
  let sum = 0;
  for (let effort = 0; effort < paceCosts.length; effort++) sum += paceCosts[effort] as number;
  return sum;
}

/**
 * What the group is worth as one number, broken rules included: larger is better.
 *
 * @param breakCost what a broken rule of levels costs; a search may walk through broken rules at a lower price.
 */
export function meritOf(tally: Tally, field: Field, breakCost = BREAK): number {
  const { weights, even } = field;
  const focus = focusOf(tally);
  const gain = focus < 0 ? 0 : (tally.gains[focus] as number) - weights.outside * tally.focused;
  return (
    gain -
    weights.levelStep * levelSteps(tally) -
    weights.minorsWithAdults * Math.min(tally.minors, tally.adults) -
    paceCost(tally) -
    weights.size * (tally.members.length - even) ** 2 -
    breakCost * levelBreaks(tally)
  );
}

export interface Judged {
  /** The shared focus; null when no member has one. */
  readonly cause: string | null;
  readonly points: Points;
  readonly levelBreaks: number;
}

/** The same, line by line. */
export function judge(members: readonly number[], field: Field): Judged {
  const { weights, even } = field;
  const tally = emptyTally(field);
  for (const i of members) put(tally, i, field);
  const chosen = focusOf(tally);
  const cause = chosen < 0 ? null : (field.causes[chosen] as string);
  const own = members.flatMap((i) => (field.swimmers[i] as Swimmer).aims.filter((a) => a.cause === cause));
  const lines = {
    focus: own.reduce((sum, a) => sum + a.worth, 0),
    outside: weights.outside * (own.length - tally.focused),
    levels: -weights.levelStep * levelSteps(tally),
    ages: -weights.minorsWithAdults * Math.min(tally.minors, tally.adults),
    paces: -paceCost(tally),
    size: -weights.size * (members.length - even) ** 2,
  };
  return { cause, points: withTotal(lines), levelBreaks: levelBreaks(tally) };
}

const zero = { focus: 0, outside: 0, levels: 0, ages: 0, paces: 0, size: 0 };
const LINES = Object.keys(zero) as (keyof typeof zero)[];

/** No negative zero: it would print as -0. */
function withTotal(lines: Omit<Points, 'total'>): Points {
  const clean = Object.fromEntries(LINES.map((line) => [line, lines[line] + 0])) as Omit<Points, 'total'>;
  return { ...clean, total: LINES.reduce((sum, line) => sum + clean[line], 0) };
}

export function sumPoints(all: readonly Points[]): Points {
  return withTotal(
    all.reduce<Omit<Points, 'total'>>(
      (sum, points) => Object.fromEntries(LINES.map((l) => [l, sum[l] + points[l]])) as typeof zero,
      zero,
    ),
  );
}
