/** Landmark tracks to measurements. */
import { fatal, sidesSwapped, warn, warnings } from './checks.ts';
import { notesOf, type Obstacle } from './notes.ts';
import { armMovements, periodOf } from './period.ts';
import { pullsOf } from './pulls.ts';
import { QUANTITIES } from './quantities.ts';
import { type Quantity, type Reading, SIDES, type Timing } from './quantity.ts';
import { emptiness, refusal } from './refusals.ts';
import { hasPoints, noiseOf, type Scene, sceneOf } from './scene.ts';
import { seriesOf } from './series.ts';
import { estimates } from './spread.ts';
import type {
  Arm,
  LandmarkMeasurement,
  LandmarkNote,
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
    armLengthM: context.armLengthM,
  };
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

interface Outcome {
  readonly measurements: readonly LandmarkMeasurement[];
  readonly obstacles: readonly Obstacle[];
}

/** One quantity: its measurements, or what stands in their way. */
function measureOne(scene: Scene, quantity: Quantity, timing: Timing): Outcome {
  const stopped = (...obstacles: Obstacle[]): Outcome => ({ measurements: [], obstacles });
  const sides = trackedSides(scene, quantity);
  if (sides.length === 0) {
    const names = quantity.points.flatMap((p) => (p.includes('*') ? SIDES.map((s) => withSide(p, s)) : [p]));
    const points = names.filter((name) => !hasPoints(scene, [name], scene.axes));
    // worth saying only when it is nearly there
    const some = quantity.views.includes(scene.view) && points.length < names.length;
    return some ? stopped({ reason: 'points-missing', quantity: quantity.code, points }) : stopped();
  }
  const no = refusal(scene, quantity, timing);
  if (no) return stopped({ reason: no, quantity: quantity.code, views: quantity.views });
  const all = quantity.measure(scene, timing, sides);
  const readings = all.filter((r) => r.values.length > 0);
  const why = emptiness(scene, quantity, timing);
  if (readings.length === 0) return stopped({ reason: why, quantity: quantity.code });
  const single = readings.some((r) => r.values.length === 1);
  return {
    measurements: measurementsOf(scene, quantity, timing, readings),
    obstacles: [
      ...all.flatMap(({ side, values }): Obstacle[] =>
        values.length > 0 || side === 'body' ? [] : [{ reason: why, quantity: quantity.code, side }],
      ),
      ...(single ? [{ reason: 'one-stroke' as const, quantity: quantity.code }] : []),
    ],
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
 *   notes, without words, for everything left out
 * @throws RangeError when the frame rate is not a positive number: it is never guessed
 */
export function measureLandmarks(input: LandmarksInput, context: LandmarksContext): LandmarksAnswer {
  if (!(Number.isFinite(context.frameRate) && context.frameRate > 0))
    throw new RangeError('landmarks need a frame rate');
  const refused = (problem: LandmarkNote): LandmarksAnswer => ({
    measurements: [],
    series: {},
    notes: [problem],
  });
  const problem = fatal(input);
  if (problem) return refused(problem);
  const scene = sceneOf(input, context.frameRate);
  if (!scene) return refused(warn('no-orientation', input.view));
  if (sidesSwapped(scene)) return refused(warn('sides-swapped', input.view));
  const timing = timingOf(scene, context);
  const parts = QUANTITIES.map((quantity) => measureOne(scene, quantity, timing));
  const obstacles = parts.flatMap((p) => p.obstacles);
  return {
    measurements: parts.flatMap((p) => p.measurements),
    series: context.series ? seriesOf(scene) : {},
    notes: [...warnings(scene, input), ...notesOf(obstacles, scene.view)],
  };
}
