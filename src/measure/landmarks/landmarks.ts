/** Landmark tracks to measurements. */
import { fatal, sidesSwapped, sizeChanges, warnings } from './checks.ts';
import { armMovements, periodOf } from './period.ts';
import { pullsOf } from './pulls.ts';
import { QUANTITIES } from './quantities.ts';
import { type Quantity, type Reading, SIDES, type Timing } from './quantity.ts';
import { hasPoints, noiseOf, type Scene, sceneOf } from './scene.ts';
import { seriesOf } from './series.ts';
import { estimates } from './spread.ts';
import { type MessageCode, message, TEXTS } from './texts.ts';
import type {
  Arm,
  LandmarkMeasurement,
  LandmarkMessage,
  LandmarksAnswer,
  LandmarksContext,
  LandmarksInput,
} from './types.ts';

const withSide = (point: string, side: Arm): string => point.replace('*', side);

/** Sides on which every point of the quantity was tracked. */
function trackedSides(scene: Scene, quantity: Quantity): Arm[] {
  return SIDES.filter((side) =>
    hasPoints(
      scene,
      quantity.points.map((p) => withSide(p, side)),
      scene.axes,
    ),
  );
}

function timingOf(scene: Scene, context: LandmarksContext): Timing {
  const period = periodOf(armMovements(scene), scene.frameRate);
  return {
    period,
    pulls: { left: pullsOf(scene, 'left', period), right: pullsOf(scene, 'right', period) },
    heightM: context.heightM,
    armLengthM: context.armLengthM,
  };
}

/** Why a quantity whose points are there cannot be given; undefined when it can. */
function refusal(scene: Scene, quantity: Quantity, timing: Timing): MessageCode | undefined {
  if (!quantity.views.includes(scene.view)) return 'view-cannot-show';
  if (quantity.needs.includes('scale') && (!scene.scale.known || sizeChanges(scene))) return 'scale-needed';
  if (quantity.needs.includes('waterline') && !scene.hasWaterline) return 'waterline-needed';
  if (quantity.needs.includes('cycle') && timing.period === undefined) return 'cycles-needed';
  return undefined;
}

/** Why nothing came out although nothing was refused. */
function emptiness(scene: Scene, quantity: Quantity, timing: Timing): MessageCode {
  if (quantity.code === 'entry-reach' && scene.view !== '3d' && timing.armLengthM === undefined)
    return 'arm-length-needed';
  if (quantity.code === 'entry-offset') {
    if (scene.view === 'overhead') return 'entry-needed';
    if (!scene.hasWaterline) return 'waterline-needed';
  }
  return 'not-found';
}

function textOf(code: MessageCode, scene: Scene, quantity: Quantity): string {
  if (code === 'view-cannot-show') return TEXTS[code](quantity.words, scene.view, quantity.views);
  const text = TEXTS[code] as (words: string) => string;
  return text(quantity.words);
}

function measurementsOf(
  scene: Scene,
  quantity: Quantity,
  timing: Timing,
  readings: readonly Reading[],
): LandmarkMeasurement[] {
  const found = estimates(readings, quantity.typicalSd);
  return readings.map((reading, i) => {
    const { value, standardDeviation, perCycleSd } = found[i]!;
    const points = quantity.points.flatMap((p) =>
      reading.side === 'body' && p.includes('*')
        ? SIDES.map((s) => withSide(p, s))
        : [withSide(p, reading.side as Arm)],
    );
    const tracks = points.flatMap((p) => Object.values(scene.points.get(p) ?? {}));
    return {
      code: quantity.code,
      side: reading.side,
      value,
      unit: quantity.unit,
      standardDeviation,
      derivation: {
        view: scene.view,
        points: points.filter((p) => scene.points.has(p)).join(', '),
        formula: quantity.formula,
        source: quantity.source,
        frames: scene.frames,
        frameRate: scene.frameRate,
        cycleSeconds: timing.period === undefined ? null : timing.period / scene.frameRate,
        values: reading.values.length,
        perCycleSd,
        systematicSd: reading.systematic,
        cutOffHz: tracks.length === 0 ? null : Math.max(...tracks.map((t) => t.cutOffHz)),
        digitisingNoiseM: scene.scale.known ? noiseOf(scene, points) : null,
        scale: scene.scale.source,
        scaleRelativeSd: scene.scale.known ? scene.scale.relativeSd : null,
        ...(scene.nearSide !== undefined && { nearSide: scene.nearSide }),
        ...reading.facts,
      },
    };
  });
}

/** One quantity: its measurements, or the message that says why not. */
function measureOne(
  scene: Scene,
  quantity: Quantity,
  timing: Timing,
): { measurements: LandmarkMeasurement[]; messages: LandmarkMessage[] } {
  const about = { code: quantity.code, view: scene.view };
  const sides = trackedSides(scene, quantity);
  if (sides.length === 0) {
    const names = quantity.points.flatMap((p) => (p.includes('*') ? SIDES.map((s) => withSide(p, s)) : [p]));
    const missing = names.filter((name) => !hasPoints(scene, [name], scene.axes));
    // worth saying only when it is nearly there
    const some = quantity.views.includes(scene.view) && missing.length < names.length;
    const text = TEXTS['points-missing'](quantity.words, missing);
    return { measurements: [], messages: some ? [message('points-missing', 'info', about, text)] : [] };
  }
  const no = refusal(scene, quantity, timing);
  if (no) return { measurements: [], messages: [message(no, 'info', about, textOf(no, scene, quantity))] };
  const readings = quantity.measure(scene, timing, sides).filter((r) => r.values.length > 0);
  if (readings.length === 0) {
    const why = emptiness(scene, quantity, timing);
    return { measurements: [], messages: [message(why, 'info', about, textOf(why, scene, quantity))] };
  }
  const single = readings.some((r) => r.values.length === 1);
  return {
    measurements: measurementsOf(scene, quantity, timing, readings),
    messages: single ? [message('one-cycle', 'info', about, textOf('one-cycle', scene, quantity))] : [],
  };
}

/**
 * Measures everything that the view can show, and says what it cannot.
 *
 * Every coordinate is filled over gaps of at most 0.1 s, low-passed forward and backward at 6 Hz (higher when the rest
 * shows that movement was cut off) and read at moments found in the track itself. A value is the mean over the strokes or
 * cycles; its standard deviation holds their spread, their number, the scale and the camera. A point that a tracker puts
 * on the wrong place of the body in every frame alike shows in none of these and is not part of it.
 *
 * @param input tracks with view and unit; axes as in types.ts. Coordinates that are not finite count as missing
 * @param context frame rate in frames per second; `armLengthM` from shoulder joint to fingertip, in metres
 * @returns measurements in the codes and units of the rule set, angles frame by frame in degrees when asked for, and
 *   messages for everything left out
 * @throws RangeError when the frame rate is not a positive number: it is never guessed
 */
export function measureLandmarks(input: LandmarksInput, context: LandmarksContext): LandmarksAnswer {
  if (!(Number.isFinite(context.frameRate) && context.frameRate > 0))
    throw new RangeError('landmarks need a frame rate');
  const empty = (problem: LandmarkMessage): LandmarksAnswer => ({
    measurements: [],
    series: {},
    messages: [problem],
  });
  const about = { view: input.view };
  const problem = fatal(input);
  if (problem) return empty(problem);
  const scene = sceneOf(input, context.frameRate);
  if (!scene) return empty(message('no-orientation', 'warning', about, TEXTS['no-orientation']()));
  if (sidesSwapped(scene)) return empty(message('sides-swapped', 'warning', about, TEXTS['sides-swapped']()));
  const timing = timingOf(scene, context);
  const parts = QUANTITIES.map((quantity) => measureOne(scene, quantity, timing));
  return {
    measurements: parts.flatMap((p) => p.measurements),
    series: context.series ? seriesOf(scene) : {},
    messages: [...warnings(scene, input), ...parts.flatMap((p) => p.messages)],
  };
}
