/** Where the hand goes in, passes and comes out, against midline, shoulder, hip and surface. */
import { mean } from 'simple-statistics';
import { isEndOn } from './axes.ts';
import { depthSd, lengthSd, waterlineSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { midlineOf } from './midline.ts';
import { entriesFromAbove, type Pull } from './pulls.ts';
import { CM, fromBelievableChange, type Quantity, type Reading, type Timing } from './quantity.ts';
import { valueAt } from './sample.ts';
import { coordinate, hasPoints, positionIn, type Scene } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import type { Arm } from './types.ts';
import { length, minus } from './vector.ts';

const finite = (values: readonly number[]): number[] => values.filter(Number.isFinite);
const subtract = (a: readonly number[], b: readonly number[]): number[] => a.map((v, i) => v - b[i]!);
const meanSize = (values: readonly number[]): number => (values.length === 0 ? 0 : Math.abs(mean(values)));

function momentsOf(pulls: readonly Pull[], which: 'entry' | 'exit' | 'mid'): number[] {
  return pulls.flatMap((p) => (p[which] === undefined ? [] : [p[which]]));
}

/** Moments that were read from the drawn waterline. */
function byLine(pulls: readonly Pull[], which: 'entry' | 'exit'): number[] {
  return pulls.flatMap((p) => (p[which] !== undefined && p.byWaterline[which] ? [p[which]] : []));
}

/** A camera above or below the surface sees its near part elsewhere; the height of the crossing is unsure by this. Metres. */
const PARALLAX_M = 0.02;
/** Without knowing which arm is nearer. */
const PARALLAX_UNKNOWN_M = 0.04;

/**
 * How much a value changes when the surface is elsewhere than drawn. Only for moments read from the waterline: a hand that
 * goes out of sight at the surface shows the moment itself.
 */
function surfaceSd(scene: Scene, side: Arm, moments: readonly number[], series: readonly number[]): number {
  const up = coordinate(scene, `${side}-hand`, 'up', 'smooth');
  const height =
    scene.view === '3d'
      ? waterlineSd(scene)
      : Math.hypot(waterlineSd(scene), scene.nearSide ? PARALLAX_M : PARALLAX_UNKNOWN_M);
  const slopes = moments.flatMap((at) => {
    const rise = valueAt(up, at + 1) - valueAt(up, at - 1);
    const change = valueAt(series, at + 1) - valueAt(series, at - 1);
    return Number.isFinite(change / rise) ? [(change / rise) * height] : [];
  });
  return slopes.length === 0 ? 0 : meanSize(slopes);
}

/** Entries as given, else as found. */
function entriesOf(scene: Scene, timing: Timing, side: Arm): number[] {
  // marked is the first frame under water, so the entry lies half a frame before it on average
  const given = scene.entryFrames?.[side]?.map((frame) => frame - 0.5);
  if (given) return given;
  if (scene.view === 'side-above') return entriesFromAbove(scene, side, timing.period);
  return momentsOf(timing.pulls[side], 'entry');
}

export const exitPastHip: Quantity = {
  code: 'exit-past-hip',
  words: 'how far past the hip the hand leaves the water',
  unit: 'cm',
  views: ['side-under', '3d'],
  points: ['*-hand', '*-shoulder', '*-hip'],
  sided: true,
  needs: ['scale', 'waterline'],
  typicalSd: fromBelievableChange(4),
  formula: 'hip ahead of the fingertip when the fingertip leaves the water',
  source: 'definition of exit-past-hip; scale by similar triangles',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const hip = coordinate(scene, `${side}-hip`, 'forward', 'smooth');
      const past = subtract(hip, coordinate(scene, `${side}-hand`, 'forward', 'smooth')).map((v) => v * CM);
      const values = finite(momentsOf(timing.pulls[side], 'exit').map((m) => valueAt(past, m)));
      const surface = surfaceSd(scene, side, byLine(timing.pulls[side], 'exit'), past);
      return { side, values, systematic: Math.hypot(lengthSd(scene, 'arm') * meanSize(values), surface) };
    }),
};

/** Straight arm from shoulder to fingertip: given, or the sum of its segments in 3D. Metres. */
function fullReach(scene: Scene, timing: Timing, side: Arm): { metres: number; source: string } | undefined {
  if (timing.armLengthM !== undefined) return { metres: timing.armLengthM, source: 'armLengthM' };
  const chain = ['shoulder', 'elbow', 'wrist', 'hand'].map((name) => `${side}-${name}`);
  if (scene.view !== '3d' || !hasPoints(scene, chain, scene.axes)) return undefined;
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

/** An arm length by tape is good to about 2 cm. */
const ARM_LENGTH_SD_M = 0.02;

export const entryReach: Quantity = {
  code: 'entry-reach',
  words: 'the reach at the entry of the hand',
  unit: '% of reach',
  views: ['side-above', '3d'],
  points: ['*-hand', '*-shoulder'],
  sided: true,
  needs: ['scale', 'waterline'],
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
        return (100 * length(minus(tip!, shoulder!))) / reach.metres;
      });
      const values = finite(entriesOf(scene, timing, side).map((m) => valueAt(seen, m)));
      const measured = scene.view === '3d' && reach.source !== 'armLengthM';
      const relative = measured ? 0 : Math.hypot(lengthSd(scene, 'arm'), ARM_LENGTH_SD_M / reach.metres);
      const surface = surfaceSd(
        scene,
        side,
        scene.view === 'side-above' ? entriesOf(scene, timing, side) : byLine(timing.pulls[side], 'entry'),
        seen,
      );
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
 * From the front the entering hand is about 0.6 m nearer to the camera than the shoulders. With the camera 3 to 7 m away it
 * looks 12 % too large on average, by a standard deviation of 4 %; that is taken off. A camera off the line sees it aside.
 */
const AHEAD_GAIN = 1.12;
const AHEAD_SD = 0.04;
const OBLIQUE_M = 0.02;

export const entryOffset: Quantity = {
  code: 'entry-offset',
  words: 'the sideways place of the entry of the hand',
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
        endOn ? OBLIQUE_M * CM : midline.sdAhead * CM,
      );
      return { side, values, systematic };
    });
  },
};

/** Full reach is a flat top: its moment is good to this share of a cycle; a sinking hand looks smaller from above. */
const REACH_SHARE = 0.02;
const REACH_SHARE_3D = 0.01;

export const reachOffset: Quantity = {
  code: 'reach-offset',
  words: 'the sideways place of the hand at full reach',
  unit: 'cm',
  views: ['overhead', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder', 'left-hip', 'right-hip'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(4),
  formula:
    'distance of the fingertip from the midline when it is farthest ahead of the shoulders, plus on its own side',
  source: 'definition of reach-offset',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    return sides.map((side): Reading => {
      const off = midline.outwardOf(`${side}-hand`, side).map((v) => v * CM);
      const ahead = midline.aheadOf(`${side}-hand`);
      const farthest = tops(ahead, 0.4 * timing.period!).map(
        (i) => apex(ahead, 0, i, timing.period! / 16).at,
      );
      const values = finite(farthest.map((at) => valueAt(off, at)));
      const shift = (scene.view === '3d' ? REACH_SHARE_3D : REACH_SHARE) * timing.period!;
      const moving = meanSize(
        finite(farthest.map((at) => (valueAt(off, at + shift) - valueAt(off, at - shift)) / 2)),
      );
      return {
        side,
        values,
        systematic: Math.hypot(lengthSd(scene, 'trunk') * meanSize(values), midline.sdAhead * CM, moving),
      };
    });
  },
};

/** As for the elbow: from the front the deepest point stands for the moment below the shoulder. */
const MOMENT_SHARE = 0.03;

export const handOffsetMid: Quantity = {
  code: 'hand-offset-mid',
  words: 'the sideways place of the hand in mid-pull',
  unit: 'cm',
  views: ['front-under', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(4),
  formula:
    'distance of the fingertip from the midline when it passes below the shoulder, plus on its own side',
  source: 'definition of hand-offset-mid',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    return sides.map((side): Reading => {
      const off = midline.outwardOf(`${side}-hand`, side).map((v) => v * CM);
      const fromShoulder = subtract(
        off,
        midline.outwardOf(`${side}-shoulder`, side).map((v) => v * CM),
      );
      const mids = momentsOf(timing.pulls[side], 'mid');
      const values = finite(mids.map((m) => valueAt(off, m)));
      const travels = timing.pulls[side].flatMap(({ entry, exit }) => {
        if (entry === undefined || exit === undefined) return [];
        const way = finite(off.slice(Math.ceil(entry), Math.floor(exit) + 1));
        return way.length === 0 ? [] : [Math.max(...way) - Math.min(...way)];
      });
      const shift = scene.view === '3d' ? 0 : MOMENT_SHARE * timing.period!;
      const moment = finite(mids.map((m) => (valueAt(off, m + shift) - valueAt(off, m - shift)) / 2));
      const outside = finite(mids.map((m) => valueAt(fromShoulder, m)));
      return {
        side,
        values,
        systematic: Math.hypot(
          lengthSd(scene, 'arm') * meanSize(values),
          Math.sqrt(mean([0, ...moment.map((v) => v * v)])),
        ),
        facts: {
          ...(travels.length > 0 && { sideTravelCm: mean(travels) }),
          ...(outside.length > 0 && { outsideShoulderCm: mean(outside) }),
        },
      };
    });
  },
};

/**
 * In the recovery the hand is about a quarter of a metre above the water; a camera 4 to 7 m above the surface sees it 4.5 %
 * too large. That is taken off.
 */
const ABOVE_GAIN = 1.045;
/** The low-pass flattens a side swing of 0.3 m with 2.5 Hz in it by 1.2 %. */
const FLATTENED_CM = 0.4;

export const recoveryWidth: Quantity = {
  code: 'recovery-width',
  words: 'the width of the recovery',
  unit: 'cm',
  views: ['overhead', '3d'],
  points: ['*-hand', 'left-shoulder', 'right-shoulder', 'left-hip', 'right-hip'],
  sided: true,
  needs: ['scale', 'cycle'],
  typicalSd: fromBelievableChange(8),
  formula:
    'distance of the fingertip outside the shoulder, square to the midline, when it passes the shoulder going forward',
  source: 'definition of recovery-width',
  measure: (scene, timing, sides) => {
    const midline = midlineOf(scene);
    const gain = scene.view === 'overhead' ? ABOVE_GAIN : 1;
    return sides.map((side): Reading => {
      const outside = subtract(
        midline.outwardOf(`${side}-hand`, side),
        midline.outwardOf(`${side}-shoulder`, side),
      ).map((v) => (v * CM) / gain);
      const ahead = subtract(midline.aheadOf(`${side}-hand`), midline.aheadOf(`${side}-shoulder`));
      const passes: number[] = [];
      for (let i = 1; i < ahead.length; i++)
        if (ahead[i - 1]! < 0 && ahead[i]! >= 0) {
          const at = i - ahead[i]! / (ahead[i]! - ahead[i - 1]!);
          if (passes.length === 0 || at - passes.at(-1)! > 0.6 * timing.period!) passes.push(at);
        }
      const values = finite(passes.map((m) => valueAt(outside, m)));
      return {
        side,
        values,
        systematic: Math.hypot(lengthSd(scene, 'arm') * meanSize(values), FLATTENED_CM),
      };
    });
  },
};

export const handDepthMax: Quantity = {
  code: 'hand-depth-max',
  words: 'the greatest depth of the hand',
  unit: 'cm',
  views: ['side-under', '3d'],
  points: ['*-hand'],
  sided: true,
  needs: ['scale', 'waterline', 'cycle'],
  typicalSd: 2,
  formula: 'surface above the fingertip at its deepest',
  source: 'definition of hand-depth-max',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const smooth = coordinate(scene, `${side}-hand`, 'up', 'smooth').map((v) => -v * CM);
      const raw = coordinate(scene, `${side}-hand`, 'up', 'raw').map((v) => -v * CM);
      const values = tops(smooth, 0.4 * timing.period!)
        .filter((i) => smooth[i]! > 0)
        .map((i) => apex(raw, differenceNoise(raw), i, timing.period! / 16).value);
      return {
        side,
        values,
        systematic: CM * depthSd(scene, 'arm', meanSize(values) / CM),
      };
    }),
};

export const HAND_PATH = [
  exitPastHip,
  entryReach,
  entryOffset,
  reachOffset,
  handOffsetMid,
  recoveryWidth,
  handDepthMax,
] as const;
