/** Where the hand goes in, against the shoulder and the midline. */
import { mean } from 'simple-statistics';
import { isEndOn } from './axes.ts';
import { DISTANCE_ALONG_M, DISTANCE_M, lengthSd, parallaxSd } from './camera.ts';
import { entriesFromAbove } from './entries-from-above.ts';
import { midlineOf } from './midline.ts';
import { CM, fromBelievableChange, type Quantity, type Reading, type Timing } from './quantity.ts';
import { finite, meanSize, valueAt } from './sample.ts';
import { hasPoints, positionIn, type Scene } from './scene.ts';
import { byLine, momentsOf, surfaceSd } from './surface.ts';
import type { Arm } from './types.ts';
import { length, minus } from './vector.ts';

/** Entries as given, else as found. */
function entriesOf(scene: Scene, timing: Timing, side: Arm): number[] {
  // marked is the first frame under water, so the entry lies half a frame before it on average
  const given = scene.entryFrames?.[side]
    ?.filter((frame) => frame < scene.frames)
    .map((frame) => frame - 0.5);
  if (given) return given;
  if (scene.view === 'side-above') return entriesFromAbove(scene, side, timing.period);
  return momentsOf(timing.pulls[side], 'entry');
}

/** Straight arm from shoulder to fingertip: the sum of its segments in 3D, else as given. Metres. */
function fullReach(scene: Scene, timing: Timing, side: Arm): { metres: number; source: string } | undefined {
  const chain = ['shoulder', 'elbow', 'wrist', 'hand'].map((name) => `${side}-${name}`);
  if (scene.view !== '3d' || !hasPoints(scene, chain, scene.axes))
    return timing.armLengthM === undefined ? undefined : { metres: timing.armLengthM, source: 'armLengthM' };
  const metres = chain.slice(1).reduce((sum, name, i) => {
    const lengths = Array.from({ length: scene.frames }, (_, t) =>
      length(
        minus(
          positionIn(scene, name, scene.axes, t, 'smooth'),
          positionIn(scene, chain[i]!, scene.axes, t, 'smooth'),
        ),
      ),
    );
    return sum + mean(finite(lengths));
  }, 0);
  return { metres, source: 'sum of the segments of the arm' };
}

/** An arm length by tape is good to about 2 cm (judgement). */
const ARM_LENGTH_SD_M = 0.02;
/**
 * From the side, what the hand is inside or outside the shoulder is not seen. Hands go in up to 0.25 m off their shoulder,
 * in the bands of entry-offset; 0.13 m is the root mean square of that. It is added to the seen reach as the third side.
 */
const ASIDE_M = 0.13;
/** The near arm is about this much nearer to the camera than the midline, and looks larger; the far arm the other way. */
const NEARER_M = 0.17;

/** Shoulder and hand at entry are about this far ahead of the middle of the picture, in metres (judgement). */
const OFF_MIDDLE_M = 0.7;

/** How much larger than at the midline an arm looks. */
function nearness(scene: Scene, side: Arm): number {
  if (scene.view === '3d' || scene.nearSide === undefined) return 1;
  return 1 / (1 + ((scene.nearSide === side ? -1 : 1) * NEARER_M) / DISTANCE_M);
}

/** Reach in metres from what the view shows of it. */
function reachFrom(scene: Scene, side: Arm, seen: number): number {
  return scene.view === '3d' ? seen : Math.hypot(seen / nearness(scene, side), ASIDE_M);
}

/** Relative standard deviation of the reach against the arm length, apart from the moment. */
function reachSd(scene: Scene, reach: { metres: number; source: string }, shown: number): number {
  if (scene.view === '3d' && reach.source !== 'armLengthM') return 0;
  const aside = scene.view === '3d' ? 0 : ASIDE_M ** 2 / 2 / shown / reach.metres;
  const across = parallaxSd(scene, ASIDE_M, OFF_MIDDLE_M) / reach.metres;
  const place = scene.nearSide === undefined ? 'arm' : 'trunk';
  return Math.hypot(lengthSd(scene, place), ARM_LENGTH_SD_M / reach.metres, aside, across);
}

export const entryReach: Quantity = {
  code: 'entry-reach',
  unit: '% of reach',
  views: ['side-above', '3d'],
  points: ['*-hand', '*-shoulder'],
  sided: true,
  needs: ['scale'],
  // 2 cm of a reach of 0.7 m (judgement)
  typicalSd: 3,
  formula: '100 x distance from shoulder to fingertip at first water contact / full reach',
  source: 'definition of entry-reach',
  measure: (scene, timing, sides) =>
    sides.flatMap((side): Reading[] => {
      const reach = fullReach(scene, timing, side);
      if (!reach) return [];
      const seen = Array.from({ length: scene.frames }, (_, i) => {
        const [tip, shoulder] = ['hand', 'shoulder'].map((name) =>
          positionIn(scene, `${side}-${name}`, scene.axes, i, 'smooth'),
        );
        return (100 * reachFrom(scene, side, length(minus(tip!, shoulder!)))) / reach.metres;
      });
      const values = finite(entriesOf(scene, timing, side).map((m) => valueAt(seen, m)));
      const shown = Math.max(ASIDE_M, (meanSize(values) / 100) * reach.metres);
      const relative = reachSd(scene, reach, shown);
      const surface = surfaceSd(scene, side, byLine(timing.pulls[side], 'entry'), seen);
      return [
        {
          side,
          values,
          systematic: Math.hypot(relative * meanSize(values), surface),
          facts: { fullReachM: reach.metres, fullReachFrom: reach.source },
        },
      ];
    }),
};

/**
 * From the front the entering hand is 0.65 m nearer to the camera than the shoulders, and looks larger by similar
 * triangles; that is taken off. Distance and reach differ from film to film by 0.7 and 0.1 m (judgement): 4 %.
 */
const AHEAD_GAIN = DISTANCE_ALONG_M / (DISTANCE_ALONG_M - 0.65);
const AHEAD_SD = 0.04;
/** A camera this far off the swimmer's line (judgement) sees what is nearer aside of it. */
const OFF_LINE_M = 0.2 * (AHEAD_GAIN - 1);

export const entryOffset: Quantity = {
  code: 'entry-offset',
  unit: 'cm',
  views: ['overhead', 'front-under', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder'],
  sided: true,
  needs: ['scale'],
  typicalSd: fromBelievableChange(4),
  formula: 'distance of the fingertip from the midline at entry, plus on its own side',
  source: 'definition of entry-offset',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    return sides.map((side): Reading => {
      const gain = isEndOn(scene.view) ? AHEAD_GAIN : 1;
      const off = midline.outwardOf(`${side}-hand`, side).map((v) => (v * CM) / gain);
      const values = finite(entriesOf(scene, timing, side).map((m) => valueAt(off, m)));
      const endOn = isEndOn(scene.view);
      const relative = endOn ? Math.hypot(lengthSd(scene, 'arm'), AHEAD_SD) : lengthSd(scene, 'arm');
      const surface = surfaceSd(scene, side, byLine(timing.pulls[side], 'entry'), off);
      const systematic = Math.hypot(
        relative * meanSize(values),
        surface,
        (endOn ? OFF_LINE_M : midline.sdAhead) * CM,
      );
      return { side, values, systematic };
    });
  },
};

export const ENTRY = [entryReach, entryOffset] as const;
