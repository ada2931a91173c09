/** Marked moments of the arms: put in order, checked, and cut into cycles. */
import { median } from 'simple-statistics';
import type { Arm } from '../contract/common.ts';
import type { EVENT_KINDS, StrokeEvent } from '../contract/raw-data.ts';
import { figure, type Note, warning } from './reading.ts';
import { type Clock, clockOf } from './uncertainty.ts';

/** Left first: lists of both arms stand in this order. */
export const ARMS = ['left', 'right'] as const;
/** The other arm. */
export const other = (arm: Arm): Arm => (arm === 'left' ? 'right' : 'left');

export type EventKind = (typeof EVENT_KINDS)[number];

export interface Moment {
  readonly arm: Arm;
  readonly kind: EventKind;
  /** Seconds. */
  readonly time: number;
  /** Position along the lane, if given. */
  readonly metres?: number | undefined;
}

/** From one entry of a hand to its next entry; the last stroke of a film has no end. */
export interface Stroke {
  readonly arm: Arm;
  readonly entry: number;
  readonly pullStart?: number | undefined;
  readonly midPull?: number | undefined;
  readonly exit?: number | undefined;
  readonly nextEntry?: number | undefined;
}

export interface Events {
  /** Each arm's moments in order of time. */
  readonly moments: Readonly<Record<Arm, readonly Moment[]>>;
  readonly strokes: Readonly<Record<Arm, readonly Stroke[]>>;
  readonly clock: Clock;
}

const momentKey = (m: Moment): string => `${m.arm}|${m.kind}|${m.time}`;

function inOrder(events: readonly StrokeEvent[], frameRate: number | undefined): Moment[] {
  const moments = events.map(
    (e): Moment => ({
      arm: e.arm,
      kind: e.kind,
      time: e.time ?? (e.frame as number) / (frameRate as number),
      metres: e.metres,
    }),
  );
  // the same moment written down twice is one moment
  return [...new Map(moments.map((m) => [momentKey(m), m])).values()].sort((a, b) => a.time - b.time);
}

/** The moment of a kind between two entries; undefined when there is none or more than one. */
function within(
  moments: readonly Moment[],
  kind: EventKind,
  from: number,
  to: number,
): { time?: number; many: boolean } {
  const found = moments.filter((m) => m.kind === kind && m.time >= from && m.time < to);
  return found.length === 1 ? { time: (found[0] as Moment).time, many: false } : { many: found.length > 1 };
}

function inTurn(times: readonly (number | undefined)[]): boolean {
  const given = times.filter((t) => t !== undefined);
  return given.every((t, i) => i === 0 || t >= (given[i - 1] as number));
}

function strokesOf(arm: Arm, moments: readonly Moment[]): { strokes: Stroke[]; notes: Note[] } {
  const entries = moments.filter((m) => m.kind === 'entry').map((m) => m.time);
  const notes: Note[] = [];
  const strokes = entries.flatMap((entry, i): Stroke[] => {
    const nextEntry = entries[i + 1];
    const end = nextEntry ?? Number.POSITIVE_INFINITY;
    const [pullStart, midPull, exit] = (['pull-start', 'mid-pull', 'exit'] as const).map((kind) =>
      within(moments, kind, entry, end),
    ) as [ReturnType<typeof within>, ReturnType<typeof within>, ReturnType<typeof within>];
    const times = { pullStart: pullStart.time, midPull: midPull.time, exit: exit.time };
    const broken = pullStart.many || midPull.many || exit.many;
    if (broken || !inTurn([entry, times.pullStart, times.midPull, times.exit])) {
      notes.push(warning('events-out-of-order', { side: arm }, { arm, at: figure(entry) }));
      return [];
    }
    return [{ arm, entry, ...times, nextEntry }];
  });
  return { strokes, notes };
}

/** Two entries of one hand with none of the other between, where both hands were marked: one is missing or misnamed. */
function notAlternating(moments: Record<Arm, readonly Moment[]>): Note[] {
  const [left, right] = ARMS.map((arm) =>
    moments[arm].filter((m) => m.kind === 'entry').map((m) => m.time),
  ) as [number[], number[]];
  if (left.length === 0 || right.length === 0) return [];
  const from = Math.max(left[0] as number, right[0] as number);
  const to = Math.min(left.at(-1) as number, right.at(-1) as number);
  const entries = [
    ...left.map((time) => ({ arm: 'left', time })),
    ...right.map((time) => ({ arm: 'right', time })),
  ]
    .sort((a, b) => a.time - b.time)
    .filter((e) => e.time >= from && e.time <= to);
  const twice = entries.find((e, i) => i > 0 && entries[i - 1]?.arm === e.arm);
  return twice === undefined
    ? []
    : [
        warning(
          'arms-not-alternating',
          { side: twice.arm as Arm },
          {
            arm: twice.arm,
            other: other(twice.arm as Arm),
            at: figure(twice.time),
          },
        ),
      ];
}

/**
 * Reads marked moments, in any order.
 *
 * @param events times in seconds or frames; frames need the rate
 * @param frameRate frames per second
 * @returns moments and strokes by arm, and notes on what does not fit; a stroke whose moments are out of order is left out
 */
export function readEvents(
  events: readonly StrokeEvent[],
  frameRate: number | undefined,
): { events: Events; notes: Note[] } {
  const all = inOrder(events, frameRate);
  const moments = { left: all.filter((m) => m.arm === 'left'), right: all.filter((m) => m.arm === 'right') };
  const [left, right] = ARMS.map((arm) => strokesOf(arm, moments[arm])) as [
    ReturnType<typeof strokesOf>,
    ReturnType<typeof strokesOf>,
  ];
  const clock = clockOf(
    all.map((m) => m.time),
    frameRate,
  );
  return {
    events: { moments, strokes: { left: left.strokes, right: right.strokes }, clock },
    notes: [...left.notes, ...right.notes, ...notAlternating(moments)],
  };
}

/** A cycle this much longer or shorter than the middle one holds a missing or an extra mark. */
const ODD_CYCLE = 1.6;

export interface Cycles {
  /** What was marked again and again: the entry, or the mark that comes closest to it in number. */
  readonly kind: EventKind;
  /** Seconds of each whole cycle, by arm. N marks are N-1 cycles. */
  readonly seconds: Readonly<Record<Arm, readonly number[]>>;
  /** Unbroken rows of cycles, both arms together. */
  readonly rows: number;
  /** Whether a cycle of so many seconds is one of these, or holds a missing or an extra mark. */
  readonly fits: (seconds: number) => boolean;
  readonly notes: readonly Note[];
}

const CYCLE_KINDS = ['entry', 'exit', 'pull-start', 'mid-pull'] as const;

function intervals(moments: readonly Moment[], kind: EventKind): number[] {
  const times = moments.filter((m) => m.kind === kind).map((m) => m.time);
  return times.slice(1).map((t, i) => t - (times[i] as number));
}

/**
 * Cuts the marks of each hand into cycles: N marks of one kind are N-1 cycles. The kind marked most often is used.
 *
 * @returns seconds of each cycle by arm, without those that hold a missing or an extra mark (judged against the middle
 *   one); a note for each that was left out
 */
export function cyclesOf({ moments }: Events): Cycles {
  const count = (kind: EventKind): number =>
    intervals(moments.left, kind).length + intervals(moments.right, kind).length;
  const kind = CYCLE_KINDS.reduce((best, k) => (count(k) > count(best) ? k : best));
  const raw = { left: intervals(moments.left, kind), right: intervals(moments.right, kind) };
  const all = [...raw.left, ...raw.right];
  if (all.length === 0) return { kind, seconds: raw, rows: 0, fits: () => true, notes: [] };
  const middle = median(all);
  const fits = (t: number): boolean => all.length < 3 || (t < ODD_CYCLE * middle && t > middle / ODD_CYCLE);
  const seconds = { left: raw.left.filter(fits), right: raw.right.filter(fits) };
  const rowsOf = (list: readonly number[]): number =>
    list.filter((t, i) => fits(t) && !(i > 0 && fits(list[i - 1] as number))).length;
  const notes = ARMS.flatMap((arm) =>
    raw[arm].length === seconds[arm].length
      ? []
      : [
          warning(
            'cycle-out-of-line',
            { code: 'cycle-time', side: arm },
            {
              arm,
              seconds: figure(raw[arm].find((t) => !fits(t)) as number),
              usual: figure(middle),
            },
          ),
        ],
  );
  return { kind, seconds, rows: rowsOf(raw.left) + rowsOf(raw.right), fits, notes };
}

export interface ArmStroke {
  /** Seconds of the full cycle that this arm stroke is half of. */
  readonly cycleSeconds: number;
  /** Full cycles per minute. */
  readonly rate: number;
  /** Metres per full cycle. */
  readonly length: number;
  /** Metres per second. */
  readonly speed: number;
}

/**
 * Single arm strokes between entries that follow each other, whichever arm they are of: one arm stroke is half a cycle,
 * so the cycle is twice the time and its length twice the distance.
 *
 * @param entries seconds and metres, in order of time
 * @returns one item per pair of neighbours
 */
export function armStrokes(entries: readonly { time: number; metres: number }[]): ArmStroke[] {
  return entries.slice(1).map((e, i) => {
    const before = entries[i] as { time: number; metres: number };
    const [seconds, metres] = [e.time - before.time, e.metres - before.metres];
    return {
      cycleSeconds: 2 * seconds,
      rate: 60 / (2 * seconds),
      length: 2 * metres,
      speed: metres / seconds,
    };
  });
}
