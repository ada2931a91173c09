/**
 * Raw timings, positions and landmarks to measurements: pure. The same data give the same answer, whatever the order of
 * events and test swims; only lengths stand in an order that means something, first to last.
 */
import { mean } from 'simple-statistics';
import { phrase } from '../assess/phrases.ts';
import type { Message } from '../contract/answer.ts';
import { VIEWS, type View } from '../contract/common.ts';
import type { Measured as Outcome, TakenMeasurement, Worth } from '../contract/measured.ts';
import type { RawData, TimedSwim } from '../contract/raw-data.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { measureAsymmetry } from './asymmetry.ts';
import { measureCoordination } from './coordination.ts';
import { measureCounts } from './counts.ts';
import { measureCriticalSpeed, type Trial } from './critical-speed.ts';
import { metresOf } from './distance.ts';
import { measureEfficiency } from './efficiency.ts';
import { cyclesOf, readEvents } from './events.ts';
import { measureBuoy, measureKick } from './kick-and-buoy.ts';
import { landmarkMessage } from './landmark-words.ts';
import { measureLandmarks } from './landmarks/landmarks.ts';
import { readLengths } from './lengths.ts';
import { measurePacing } from './pacing.ts';
import { measurePauses } from './pauses.ts';
import { measurePhases } from './phases.ts';
import { checkPlausibility } from './plausibility.ts';
import { measureRate } from './rate.ts';
import { certaintyOf, figure, info, type Note, type Part, type Reading, together } from './reading.ts';
import { measureSpeedVariation } from './speed-variation.ts';
import { measureStroke, placeSources, type Stroke3 } from './stroke.ts';
import { type Bound, EXPONENTS, measureWorth } from './worth.ts';

/** An answer without the rule set's name: what measuring alone can say. */
export interface Measured extends Outcome {
  readonly messages: Message[];
}

interface LandmarkPart {
  readonly readings: Reading[];
  readonly messages: Message[];
  readonly series: Record<string, (number | null)[]>;
}

function landmarksOf(raw: RawData, ruleSet: RuleSet): LandmarkPart {
  const { landmarks, swimmer } = raw;
  if (landmarks === undefined) return { readings: [], messages: [], series: {} };
  const { left, right } = landmarks.entryFrames ?? {};
  const entryFrames = { ...(left === undefined ? {} : { left }), ...(right === undefined ? {} : { right }) };
  const input = { ...landmarks, entryFrames };
  const answer = measureLandmarks(input, {
    frameRate: raw.frameRate as number,
    armLengthM: swimmer?.armLengthM,
    series: raw.options?.series ?? false,
  });
  const view = VIEWS.find((v): v is View => v === landmarks.view);
  const readings = answer.measurements.map(
    (m): Reading => ({
      ...m,
      certainty: certaintyOf(typeof m.derivation.values === 'number' ? m.derivation.values : 2),
      ...(view === undefined ? {} : { view }),
      derivation: { inputs: `tracks of ${m.derivation.points ?? 'body points'}`, ...m.derivation },
    }),
  );
  return { readings, messages: answer.notes.map((n) => landmarkMessage(n, ruleSet)), series: answer.series };
}

/** What the arms' marks, the lengths and the positions say of rate, speed, phases and sides. */
function strokeOf(raw: RawData, elbowDeg: number | undefined): Part & { stroke: Stroke3 } {
  const { events, notes } = readEvents(raw.events ?? [], raw.frameRate);
  const cycles = cyclesOf(events);
  const rate = measureRate(events, cycles);
  const cycleSeconds = rate.timing?.cycleSeconds;
  const lengths = readLengths(raw.lengths ?? []);
  const trace =
    raw.positions === undefined
      ? { readings: [], notes: [], sources: [] }
      : measureSpeedVariation(raw.positions, raw.frameRate, events, cycles);
  const stroke = measureStroke([
    ...rate.sources,
    ...lengths.sources,
    ...trace.sources,
    ...placeSources(events),
  ]);
  const parts = together(
    { readings: [], notes: [...notes, ...lengths.notes] },
    stroke,
    rate,
    measurePhases(events, cycles, cycleSeconds),
    measureCoordination(events, cycleSeconds),
    measureAsymmetry(events, cycles, cycleSeconds),
    measurePauses(events),
    trace,
    measureCounts(lengths.swum),
    measureEfficiency(stroke.speed, stroke.rate, raw.swimmer ?? {}, elbowDeg),
  );
  return { ...parts, stroke };
}

function testsOf(swims: readonly TimedSwim[]): Part {
  const of = (kind: NonNullable<TimedSwim['kind']>): Trial[] =>
    swims
      .filter((s) => (s.kind ?? 'maximal') === kind)
      .map((s) => ({ metres: metresOf(s), seconds: s.seconds, yards: s.yards }));
  const split = swims
    .flatMap((s) => (s.splits === undefined ? [] : [{ metres: metresOf(s), splits: s.splits }]))
    .sort((a, b) => a.metres - b.metres || (a.splits.at(-1) as number) - (b.splits.at(-1) as number));
  return together(
    measureCriticalSpeed(of('maximal')),
    measurePacing(split),
    measureKick(of('kick')),
    measureBuoy(of('buoy'), of('no-buoy')),
  );
}

/** Lists of a derivation hold at most so many items (see the contract). */
const LONGEST_LIST = 200;

function taken(reading: Reading, unit: string): TakenMeasurement {
  const { code, side, value, standardDeviation, certainty, view } = reading;
  const derivation = Object.fromEntries(
    Object.entries(reading.derivation).map(([k, v]) => [k, Array.isArray(v) ? v.slice(0, LONGEST_LIST) : v]),
  );
  return {
    code,
    side,
    value,
    unit,
    standardDeviation,
    certainty,
    ...(view === undefined ? {} : { view }),
    derivation,
  };
}

function told(note: Note, ruleSet: RuleSet): Message {
  const { severity, code, about, values = {} } = note;
  const label = ruleSet.texts.measurements[about.code ?? '']?.label ?? '';
  const hint = values.hint === undefined ? undefined : ruleSet.texts.phrases[`measure-hint-${values.hint}`];
  const text = phrase(ruleSet, `measure-${code}`, { ...values, label, hint: hint ?? '' }).trim();
  return { severity, code, about, text };
}

function worthIn(bound: Bound, ruleSet: RuleSet): Worth {
  const { change, percent, pace, low, high } = bound;
  const gained = low >= 0;
  const [small, large] = gained ? [low, high] : [-high, -low];
  const text = phrase(ruleSet, `measure-worth-${change}-${gained ? 'gain' : 'loss'}`, {
    percent: figure(Math.abs(percent), 1),
    change: phrase(ruleSet, percent < 0 ? 'measure-lower' : 'measure-higher'),
    pace: figure(pace, 1),
    low: figure(small, 1),
    high: figure(large, 1),
  });
  return {
    change,
    percent,
    paceSecondsPer100: pace,
    upToSecondsPer100: { low, high },
    text,
    derivation: {
      inputs: 'change in percent, pace',
      formula:
        'pace x (1 - 1/r), r = (efficiency ratio / resistance ratio)^(1/(n+1)) at equal power, for both exponents n',
      source: 'Toussaint & Beek 1992; exponents 2 to 3.3: Toussaint 1988, Narita 2017',
      exponents: [...EXPONENTS],
    },
  };
}

/**
 * Measures everything that the data allow, and says what they do not.
 *
 * @param raw must be valid (see src/contract/raw-data.ts): metres or yards, seconds or frames with their rate
 * @param ruleSet gives the words and the units; a code that it does not know is left out
 * @returns measurements with side, unit, standard deviation and derivation; angles frame by frame when asked for; what a
 *   change is worth; messages in a coach's words. Asymmetries with a side name the shorter arm and are positive there
 * @throws RangeError for landmarks without a frame rate, which valid data cannot be
 */
export function measure(raw: RawData, ruleSet: RuleSet): Measured {
  const landmarks = landmarksOf(raw, ruleSet);
  const elbows = landmarks.readings.filter((r) => r.code === 'elbow-angle-mid').map((r) => r.value);
  const stroke = strokeOf(raw, elbows.length === 0 ? undefined : mean(elbows));
  const parts = together(stroke, testsOf(raw.timedSwims ?? []), { readings: landmarks.readings, notes: [] });
  const known = parts.readings.filter((r) => ruleSet.measurements.has(r.code));
  const unitOf = (code: string): string => ruleSet.measurements.get(code)?.unit ?? '';
  const checked = checkPlausibility(known, unitOf);
  const questions = raw.whatIf ?? [];
  const worth = measureWorth(questions, stroke.stroke.speed?.value);
  const notes = [
    ...checked.notes,
    ...parts.notes,
    ...(worth.length < questions.length ? [info('worth-needs-pace')] : []),
  ];
  const measurements = checked.readings.map((r) => taken(r, unitOf(r.code)));
  const messages = [...notes.map((n) => told(n, ruleSet)), ...landmarks.messages];
  const nothing = measurements.length + worth.length + messages.length === 0;
  return {
    measurements,
    series: landmarks.series,
    worth: worth.map((bound) => worthIn(bound, ruleSet)),
    messages: nothing ? [told(info('nothing-given'), ruleSet)] : messages,
  };
}
