/**
 * Left and right. Differences are right minus left; the ratio used is the symmetry index of Robinson, Herzog & Nigg
 * 1987, the difference over the mean of both. At least nine others are in use, so the convention is always named.
 *
 * A code with a side names the arm that has less of it, and its value is positive there; a code without a side that a
 * rule compares with a limit holds the size. The signed difference is in the derivation.
 */
import type { Side } from '../contract/common.ts';
import { ARMS, type Cycles, type Events, type Stroke } from './events.ts';
import { certaintyOf, type Part, type Reading } from './reading.ts';
import { combined, eventSd, type Mean, meanOf } from './uncertainty.ts';

/** The convention of every asymmetry, in words for its derivation. */
export const CONVENTION = '100 x (right - left) / mean of both; within 10 % counts as symmetric';
const SOURCE = 'symmetry index: Robinson, Herzog & Nigg 1987, J Manipulative Physiol Ther 10:172-176';
/** A convention from gait (Seifert, Chollet & Allard 2005); 10.5 % is a ratio of 0.9. */
const SYMMETRIC_WITHIN = 10;
/** A swimmer's own spread of an underwater time or of the time between two entries, in % of the cycle (judgement). */
const OWN_SPREAD = 1.5;

export interface Symmetry {
  /** 100 (right - left) / mean; null where the mean is zero. Means little where a value can change its sign. */
  readonly index: number | null;
  /** Right minus left, in the unit of the values. */
  readonly difference: number;
  readonly symmetric: boolean | null;
  readonly larger: Side;
}

/**
 * Symmetry index of two values (Robinson, Herzog & Nigg 1987), right minus left.
 *
 * @param right in any unit
 * @param left in the same unit
 * @returns index in percent, difference in the unit of the values; never throws: a mean of zero has no index
 */
export function symmetry(right: number, left: number): Symmetry {
  const difference = right - left;
  const middle = (right + left) / 2;
  const index = middle === 0 ? null : (100 * difference) / middle;
  return {
    index,
    difference,
    symmetric: index === null ? null : Math.abs(index) <= SYMMETRIC_WITHIN,
    larger: difference === 0 ? 'body' : difference > 0 ? 'right' : 'left',
  };
}

/** Standard deviation of the symmetry index of two independent means, in percent. */
function symmetrySd(right: Mean, left: Mean): number {
  const total = right.value + left.value;
  return (
    (400 * combined(left.value * right.standardDeviation, right.value * left.standardDeviation)) / total ** 2
  );
}

/** Equal to rounding: no arm is shorter. */
const SAME = 1e-9;

/** Neighbouring intervals share a mark: one that is late makes the first longer and the second shorter. */
const SHARED_MARK = Math.SQRT2;

interface Pair {
  readonly right: readonly number[];
  readonly left: readonly number[];
}

function means(pair: Pair, usual: number): { right: Mean; left: Mean } | undefined {
  if (pair.right.length === 0 || pair.left.length === 0) return undefined;
  return { right: meanOf(pair.right, usual, [pair.left]), left: meanOf(pair.left, usual, [pair.right]) };
}

const fewest = (pair: Pair): number => Math.min(pair.right.length, pair.left.length);

function reading(
  code: string,
  pair: Pair,
  usual: number,
  as: 'shorter-arm' | 'size' | 'signed',
  derivation: { inputs: string; formula: string },
  shared = 1,
): Reading[] {
  const both = means(pair, usual);
  if (both === undefined) return [];
  const { index } = symmetry(both.right.value, both.left.value);
  if (index === null) return [];
  const shorter: Side = Math.abs(index) < SAME ? 'body' : index > 0 ? 'left' : 'right';
  return [
    {
      code,
      side: as === 'shorter-arm' ? shorter : 'body',
      value: as === 'signed' ? index : Math.abs(index),
      standardDeviation: shared * symmetrySd(both.right, both.left),
      certainty: certaintyOf(fewest(pair)),
      derivation: {
        ...derivation,
        source: SOURCE,
        convention: CONVENTION,
        rightMinusLeft: index,
        rightSeconds: both.right.value,
        leftSeconds: both.left.value,
        symmetric: Math.abs(index) <= SYMMETRIC_WITHIN,
      },
    },
  ];
}

/** Times between an entry of one hand and the next entry, which is of the other hand; by the hand that enters second. */
function entryIntervals({ moments }: Events, longest: number): Pair {
  const entries = ARMS.flatMap((arm) => moments[arm].filter((m) => m.kind === 'entry')).sort(
    (a, b) => a.time - b.time,
  );
  const pair = { right: [] as number[], left: [] as number[] };
  entries.forEach((entry, i) => {
    const before = entries[i - 1];
    if (before === undefined || before.arm === entry.arm) return;
    if (entry.time - before.time < longest) pair[entry.arm].push(entry.time - before.time);
  });
  return pair;
}

function spans(
  strokes: Events['strokes'],
  fits: Cycles['fits'],
  of: (s: Stroke) => readonly [number | undefined, number | undefined],
): Pair {
  const secondsOf = (list: readonly Stroke[]): number[] =>
    list.flatMap((s) => {
      const [from, to] = of(s);
      const sound = s.nextEntry === undefined || fits(s.nextEntry - s.entry);
      return sound && from !== undefined && to !== undefined ? [to - from] : [];
    });
  return { right: secondsOf(strokes.right), left: secondsOf(strokes.left) };
}

/**
 * @param cycleSeconds mean cycle in seconds
 * @returns uneven underwater time (side: the shorter arm), uneven entry rhythm (size) and uneven propulsive time (signed),
 *   all in percent
 */
export function measureAsymmetry(events: Events, cycles: Cycles, cycleSeconds: number | undefined): Part {
  if (cycleSeconds === undefined) return { readings: [], notes: [] };
  const { clock, strokes } = events;
  const usual = (...marks: readonly number[]): number =>
    combined(...marks, (OWN_SPREAD / 100) * cycleSeconds);
  const [entry, pull, exit] = [eventSd('entry', clock), eventSd('pull-start', clock), eventSd('exit', clock)];
  return {
    readings: [
      ...reading(
        'underwater-time-asymmetry',
        spans(strokes, cycles.fits, (s) => [s.entry, s.exit]),
        usual(entry, exit),
        'shorter-arm',
        {
          inputs: 'entry and exit of both hands',
          formula: '100 x difference of the underwater times / their mean; the side is the shorter arm',
        },
      ),
      ...reading(
        'entry-rhythm-asymmetry',
        entryIntervals(events, cycleSeconds),
        usual(entry, entry),
        'size',
        {
          inputs: 'entries of both hands',
          formula:
            '100 x difference / mean of the times from left to right entry (right) and from right to left entry (left), without sign',
        },
        SHARED_MARK,
      ),
      ...reading(
        'propulsive-asymmetry',
        spans(strokes, cycles.fits, (s) => [s.pullStart, s.exit]),
        usual(pull, exit),
        'signed',
        {
          inputs: 'pull-start and exit of both hands',
          formula: '100 x (right - left) / mean of the times from pull-start to exit',
        },
      ),
    ],
    notes: [],
  };
}
