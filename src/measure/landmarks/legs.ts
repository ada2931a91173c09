/** Knees and heels. */
import { mean, sampleVariance } from 'simple-statistics';
import { depthSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { kicksOf, trackedLegs } from './kick.ts';
import { CM, fromBelievableChange, type Quantity, type Reading, SIDES, type Timing } from './quantity.ts';
import { coordinate, hasPoints, type Kind, positionIn, type Scene } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import type { Arm } from './types.ts';
import { interiorAngle } from './vector.ts';
import { SHARED_CYCLES, topsInSight } from './windows.ts';

/** @returns bend of the knee from straight, in degrees, frame by frame; NaN where a point is missing */
export function kneeBendSeries(scene: Scene, side: Arm, kind: Kind): number[] {
  return Array.from({ length: scene.frames }, (_, i) => {
    const [hip, knee, ankle] = ['hip', 'knee', 'ankle'].map((name) =>
      positionIn(scene, `${side}-${name}`, scene.axes, i, kind),
    );
    return 180 - interiorAngle(hip!, knee!, ankle!);
  });
}

/**
 * Highest points of a movement that comes `perCycle` times in a cycle, one value per cycle: those of the kick that is the
 * largest on average, drawn towards the mean of all kicks by the share of their differences that chance explains (positive
 * part of James and Stein 1961). Taking the largest of each cycle would pick the noise of nearly equal kicks.
 */
function largestPerCycle(
  scene: Scene,
  smooth: readonly number[],
  raw: readonly number[],
  interval: number,
  perCycle: number,
): number[] {
  const noise = differenceNoise(raw);
  const found = tops(smooth, 0.4 * interval).map((i) => ({
    i,
    value: apex(raw, noise, i, interval / 8).value,
  }));
  if (!topsInSight(scene, found.length, interval) || found.length === 0) return [];
  const beats = found.map(({ i, value }) => ({ beat: Math.round((i - found[0]!.i) / interval), value }));
  const places = Array.from({ length: perCycle }, (_, place) =>
    beats.filter(({ beat }) => beat % perCycle === place),
  ).filter((kicks) => kicks.length > 0);
  const values = places.map((kicks) => kicks.map(({ value }) => value));
  const real = realShare(values);
  const means = values.map((v) => mean(v));
  const largest = places[means.indexOf(Math.max(...means))]!;
  return largest.map(({ beat, value }) => {
    const cycle = Math.floor(beat / perCycle);
    const all = beats.filter((b) => Math.floor(b.beat / perCycle) === cycle).map((b) => b.value);
    return mean(all) + real * (value - mean(all));
  });
}

/** Share of the differences between the means of several lists that the spread inside the lists does not explain, 0 to 1. */
function realShare(lists: readonly (readonly number[])[]): number {
  if (lists.length < 2 || lists.some((v) => v.length < 2)) return 1;
  const between = sampleVariance(lists.map((v) => mean([...v])));
  const byChance = mean(lists.map((v) => sampleVariance([...v]) / v.length));
  return between > byChance ? 1 - byChance / between : 0;
}

/** Frames from one kick of this leg to the next, and how many there are in an arm cycle. */
function rhythm(scene: Scene, timing: Timing, side: Arm): { interval: number; perCycle: number } {
  const interval = kicksOf(scene, side)?.interval ?? timing.period ?? 0.5 * scene.frameRate;
  const perCycle = timing.period === undefined ? 1 : Math.max(1, Math.round(timing.period / interval));
  return { interval, perCycle };
}

/** Means of several kicks are cut anywhere in the swimmer's own cycle, as windows are; one kick of each cycle is not. */
const factorOf = (perCycle: number): number => (perCycle > 1 ? SHARED_CYCLES : 1);

/** Same place in the cycle of both legs, so one value per cycle: the mean of the legs. */
function legMeans(perLeg: readonly (readonly number[])[]): number[] {
  const cycles = Math.max(0, ...perLeg.map((v) => v.length));
  return Array.from({ length: cycles }, (_, i) =>
    mean(perLeg.flatMap((v) => (v[i] === undefined ? [] : [v[i]]))),
  );
}

export const kneeBend: Quantity = {
  code: 'knee-bend',
  unit: 'deg',
  views: ['side-under', '3d'],
  points: ['*-hip', '*-knee', '*-ankle'],
  sided: false,
  leavesWater: true,
  needs: [],
  typicalSd: fromBelievableChange(8),
  formula: '180 - angle hip-knee-ankle, largest of each cycle, mean of the legs',
  source: 'interior angle at a joint; definition of knee-bend',
  measure: (scene, timing) => {
    const perLeg = SIDES.filter((side) =>
      hasPoints(scene, [`${side}-hip`, `${side}-knee`, `${side}-ankle`], scene.axes),
    ).map((side) => {
      const { interval, perCycle } = rhythm(scene, timing, side);
      const [smooth, raw] = [kneeBendSeries(scene, side, 'smooth'), kneeBendSeries(scene, side, 'raw')];
      return { values: largestPerCycle(scene, smooth, raw, interval, perCycle), factor: factorOf(perCycle) };
    });
    const varianceFactor = Math.max(1, ...perLeg.map((leg) => leg.factor));
    const values = legMeans(perLeg.map((leg) => leg.values));
    return [{ side: 'body', values, systematic: 0, varianceFactor } satisfies Reading];
  },
};

/** The heels are about this far behind the middle of the picture, in metres (body proportions; judgement). */
const HEEL_ALONG_M = 1.1;

export const heelDepth: Quantity = {
  code: 'heel-depth',
  unit: 'cm',
  // from the rear the surface over the heels is far from where it is over the hips
  views: ['side-under', '3d'],
  points: ['*-heel'],
  sided: false,
  leavesWater: true,
  needs: ['scale', 'waterline'],
  // as the depth of the hips, and the kick on top of it (judgement)
  typicalSd: 2,
  formula: 'surface above the heel at its highest in each cycle, mean of the legs',
  source: 'definition of heel-depth',
  measure: (scene, timing) => {
    const perLeg = trackedLegs(scene, 'heel').map((side) => {
      const [smooth, raw] = (['smooth', 'raw'] as const).map((kind) =>
        coordinate(scene, `${side}-heel`, 'up', kind),
      );
      const { interval, perCycle } = rhythm(scene, timing, side);
      const heights = largestPerCycle(scene, smooth!, raw!, interval, perCycle);
      return { values: heights.map((v) => -v * CM), factor: factorOf(perCycle) };
    });
    const varianceFactor = Math.max(1, ...perLeg.map((leg) => leg.factor));
    const values = legMeans(perLeg.map((leg) => leg.values));
    const size = values.length === 0 ? 0 : Math.abs(mean(values));
    const systematic = CM * depthSd(scene, 'trunk', size / CM, HEEL_ALONG_M);
    return [{ side: 'body', values, systematic, varianceFactor }];
  },
};

export const LEGS = [kneeBend, heelDepth] as const;
