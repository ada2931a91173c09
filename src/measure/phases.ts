/**
 * The four phases of each arm after Chollet, Chalies & Chatard 2000: entry and catch, pull, push, recovery. That the
 * first counts as not propulsive is a definition: pressure on the hand is not zero there.
 */
import type { Arm } from '../contract/common.ts';
import { ARMS, type Cycles, type EventKind, type Events, type Stroke } from './events.ts';
import { certaintyOf, type Part, type Reading } from './reading.ts';
import { type Clock, combined, eventSd, meanOf, quantisationSd } from './uncertainty.ts';

/** A swimmer's own share of a phase changes by about so many points of the cycle from stroke to stroke (judgement). */
const OWN_SHARE_SD = 1.5;
const SOURCE = 'phases after Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54-59';

interface Span {
  readonly time: string;
  readonly share?: string;
  readonly from: EventKind;
  readonly to: EventKind | 'next-entry';
  readonly of: (s: Stroke) => readonly [number | undefined, number | undefined];
}

const SPANS: readonly Span[] = [
  {
    time: 'front-time',
    share: 'front-time-share',
    from: 'entry',
    to: 'pull-start',
    of: (s) => [s.entry, s.pullStart],
  },
  {
    time: 'pull-time',
    share: 'pull-share',
    from: 'pull-start',
    to: 'mid-pull',
    of: (s) => [s.pullStart, s.midPull],
  },
  { time: 'push-time', share: 'push-share', from: 'mid-pull', to: 'exit', of: (s) => [s.midPull, s.exit] },
  {
    time: 'recovery-time',
    share: 'recovery-share',
    from: 'exit',
    to: 'next-entry',
    of: (s) => [s.exit, s.nextEntry],
  },
  {
    time: 'propulsive-time',
    share: 'propulsive-share',
    from: 'pull-start',
    to: 'exit',
    of: (s) => [s.pullStart, s.exit],
  },
  { time: 'underwater-time', from: 'entry', to: 'exit', of: (s) => [s.entry, s.exit] },
];

/** Strokes whose cycle holds no missing or extra mark; the last one of a film has no end and counts for its phases. */
function soundStrokes(strokes: readonly Stroke[], fits: Cycles['fits']): Stroke[] {
  return strokes.filter((s) => s.nextEntry === undefined || fits(s.nextEntry - s.entry));
}

interface Series {
  readonly seconds: readonly number[];
  /** % of the cycle, where the cycle is whole. */
  readonly shares: readonly number[];
  readonly cycleSeconds: readonly number[];
}

function seriesOf(span: Span, strokes: readonly Stroke[]): Series {
  const series = { seconds: [] as number[], shares: [] as number[], cycleSeconds: [] as number[] };
  for (const stroke of strokes) {
    const [from, to] = span.of(stroke);
    if (from === undefined || to === undefined) continue;
    series.seconds.push(to - from);
    if (stroke.nextEntry === undefined) continue;
    const cycle = stroke.nextEntry - stroke.entry;
    series.shares.push((100 * (to - from)) / cycle);
    series.cycleSeconds.push(cycle);
  }
  return series;
}

const markSd = (span: Span, clock: Clock): number =>
  combined(eventSd(span.from, clock), eventSd(span.to === 'next-entry' ? 'entry' : span.to, clock));

function readingsOf(
  span: Span,
  arm: Arm,
  both: Readonly<Record<Arm, Series>>,
  cycleSeconds: number | undefined,
  clock: Clock,
): Reading[] {
  const own = both[arm];
  const beside = both[arm === 'left' ? 'right' : 'left'];
  const inputs = `${span.from} and ${span.to} of the same hand`;
  const common = {
    source: SOURCE,
    clockStepSeconds: clock.step,
    frameRate: clock.frameRate ?? null,
    markSdSeconds: markSd(span, clock),
  };
  const readings: Reading[] = [];
  if (own.seconds.length > 0) {
    const usual = combined(markSd(span, clock), (OWN_SHARE_SD / 100) * (cycleSeconds ?? 1.5));
    const { value, standardDeviation, spread } = meanOf(own.seconds, usual, [beside.seconds]);
    readings.push({
      code: span.time,
      side: arm,
      value,
      standardDeviation,
      certainty: certaintyOf(own.seconds.length),
      derivation: {
        inputs,
        formula: `mean of ${span.to} - ${span.from}`,
        ...common,
        seconds: [...own.seconds],
        spread,
      },
    });
  }
  if (span.share !== undefined && own.shares.length > 0 && cycleSeconds !== undefined) {
    const usual = combined((100 * markSd(span, clock)) / cycleSeconds, OWN_SHARE_SD);
    const { value, standardDeviation, spread } = meanOf(own.shares, usual, [beside.shares]);
    readings.push({
      code: span.share,
      side: arm,
      value,
      standardDeviation,
      certainty: certaintyOf(own.shares.length),
      derivation: {
        inputs: `${inputs}, and its next entry`,
        formula: `mean of 100 x (${span.to} - ${span.from}) / (next entry - entry)`,
        ...common,
        shares: [...own.shares],
        cycleSeconds: [...own.cycleSeconds],
        spread,
        clockSd: (100 * Math.SQRT2 * quantisationSd(clock.step)) / cycleSeconds,
      },
    });
  }
  return readings;
}

/**
 * @param cycleSeconds mean cycle in seconds; without it there are durations and no shares
 * @returns duration in seconds and share in % of the cycle of each phase of each arm whose two marks were given
 */
export function measurePhases(events: Events, cycles: Cycles, cycleSeconds: number | undefined): Part {
  const strokes = {
    left: soundStrokes(events.strokes.left, cycles.fits),
    right: soundStrokes(events.strokes.right, cycles.fits),
  };
  const readings = SPANS.flatMap((span) => {
    const both = { left: seriesOf(span, strokes.left), right: seriesOf(span, strokes.right) };
    return ARMS.flatMap((arm) => readingsOf(span, arm, both, cycleSeconds, events.clock));
  });
  return { readings, notes: [] };
}
