/** The tracks in metres on the swimmer's axes: what every measurement works from. */
import { mean, median } from 'simple-statistics';
import { AXES, type Axis, axesOf, axisMap, isEndOn, isSide } from './axes.ts';
import { type Scale, scaleOf } from './scale.ts';
import { type Track, trackOf } from './smooth.ts';
import type { Arm, LandmarksInput, LandmarkView } from './types.ts';

/** A point of the body over time, on the axes that the view shows; metres. */
export type Point = Readonly<Partial<Record<Axis, Track>>>;

/** A film or a set of tracks on the swimmer's own axes. */
export interface Scene {
  readonly view: LandmarkView;
  readonly frameRate: number;
  readonly frames: number;
  readonly axes: readonly Axis[];
  readonly points: ReadonlyMap<string, Point>;
  /** `up` is the height above the water surface when this is true. */
  readonly hasWaterline: boolean;
  readonly scale: Scale;
  readonly nearSide?: Arm | undefined;
  readonly entryFrames?: LandmarksInput['entryFrames'];
}

/** Low-passed, or as digitised with short gaps filled. */
export type Kind = 'smooth' | 'raw';

/** Components of one coordinate list on one axis, NaN where the point is missing. */
function components(list: readonly (readonly number[] | null)[], index: number, frames: number): number[] {
  return Array.from({ length: frames }, (_, i) => {
    const value = list[i]?.[index];
    return value !== undefined && Number.isFinite(value) ? value : Number.NaN;
  });
}

/** Which way the swimmer swims in the picture, from the head end against the hip end. */
export function headingOf(input: LandmarksInput): Arm | undefined {
  const middleX = (names: readonly string[]): number | undefined => {
    const xs = names.flatMap((name) => (input.points[name] ?? []).flatMap((p) => (p ? [p[0]] : [])));
    return xs.length === 0 ? undefined : median(xs);
  };
  const front =
    middleX(['left-shoulder', 'right-shoulder']) ?? middleX(['crown', 'chin', 'left-eye', 'right-eye']);
  const back = middleX(['left-hip', 'right-hip']) ?? middleX(['left-ankle', 'right-ankle']);
  if (front === undefined || back === undefined || front === back) return undefined;
  return front > back ? 'right' : 'left';
}

/** The heading to use: as given, else seen. Only side and overhead views need one. */
export function headingFor(input: LandmarksInput): Arm | undefined {
  if (!isSide(input.view) && input.view !== 'overhead') return 'right';
  return input.heading ?? headingOf(input);
}

/**
 * @returns the scene; undefined when neither heading nor size can be found
 */
export function sceneOf(input: LandmarksInput, frameRate: number): Scene | undefined {
  const heading = headingFor(input);
  const scale = scaleOf(input);
  if (heading === undefined || scale === undefined) return undefined;
  const map = axisMap(input, heading);
  const axes = axesOf(input.view);
  const names = Object.keys(input.points).sort();
  const frames = Math.max(0, ...names.map((name) => input.points[name]!.length));
  const hasWaterline = input.waterlineY !== undefined && axes.includes('up');
  const middleX = isEndOn(input.view) ? middleOf(input, map.left!.index) : 0;
  const originOf = (axis: Axis): number =>
    axis === 'up' && hasWaterline ? input.waterlineY! : axis === 'left' ? middleX : 0;
  const points = new Map<string, Point>();
  for (const name of names) {
    const point: Partial<Record<Axis, Track>> = {};
    for (const axis of AXES) {
      const from = map[axis];
      if (!from) continue;
      const values = components(input.points[name]!, from.index, frames);
      point[axis] = trackOf(
        values.map((v, i) => from.sign * (v - originOf(axis)) * scale.at(i)),
        frameRate,
      );
    }
    points.set(name, point);
  }
  return {
    view: input.view,
    frameRate,
    frames,
    axes,
    points,
    hasWaterline,
    scale,
    nearSide: input.nearSide,
    entryFrames: input.entryFrames,
  };
}

function middleOf(input: LandmarksInput, index: 0 | 1 | 2): number {
  const all = Object.values(input.points).flatMap((list) => list.flatMap((p) => (p ? [p[index] ?? 0] : [])));
  return all.length === 0 ? 0 : mean(all);
}

/** Position of a point in one frame on the axes asked for; components are NaN where missing. */
export function positionIn(
  scene: Scene,
  name: string,
  axes: readonly Axis[],
  frame: number,
  kind: Kind,
): number[] {
  const point = scene.points.get(name);
  return axes.map((axis) => point?.[axis]?.[kind][frame] ?? Number.NaN);
}

/** One coordinate over time; all NaN when the view or the point is missing. */
export function coordinate(scene: Scene, name: string, axis: Axis, kind: Kind): readonly number[] {
  return scene.points.get(name)?.[axis]?.[kind] ?? Array.from({ length: scene.frames }, () => Number.NaN);
}

/** True when every point is there and was seen at least once on the axes. */
export function hasPoints(scene: Scene, names: readonly string[], axes: readonly Axis[]): boolean {
  return names.every((name) =>
    axes.every((axis) => scene.points.get(name)?.[axis]?.raw.some((v) => Number.isFinite(v)) ?? false),
  );
}

/** Digitising noise of the named points, root mean square, in metres. */
export function noiseOf(scene: Scene, names: readonly string[]): number {
  const all = names.flatMap((name) => {
    const point = scene.points.get(name);
    return AXES.flatMap((axis) => (point?.[axis] ? [point[axis].noise ** 2] : []));
  });
  return all.length === 0 ? 0 : Math.sqrt(mean(all));
}
