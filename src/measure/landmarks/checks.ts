/** What is looked at before anything is measured: orientation, swapped sides, size, segment lengths. */
import { mean, median, standardDeviation } from 'simple-statistics';
import { type Axis, isEndOn, isSide } from './axes.ts';
import { SIDES } from './quantity.ts';
import { finite } from './sample.ts';
import { coordinate, hasPoints, headingOf, positionIn, type Scene } from './scene.ts';
import type { LandmarkNote, LandmarksInput } from './types.ts';
import { length, minus } from './vector.ts';

/** Below 25 frames a second fast movements are flattened (judgement; 25 against 50 Hz: Sanders 2015, from memory). */
const LOW_FRAME_RATE = 25;
/** Walking markers on skin vary by 2.5 % and are sound (data of BMClab, walk.trc); twice that is flagged. */
const SEGMENT_LIMIT = 0.05;
/** A size that drifts by more than this cannot be measured with one scale (judgement). */
const SIZE_LIMIT = 0.1;

/** A note that something is wrong with what was sent. */
export const warn = (
  code: string,
  view: LandmarksInput['view'],
  values: LandmarkNote['values'] = {},
): LandmarkNote => ({ severity: 'warning', code, about: { view }, values });

/** @returns the first fault for which nothing can be measured; undefined when there is none */
export function fatal(input: LandmarksInput): LandmarkNote | undefined {
  const fault = (code: string): LandmarkNote => warn(code, input.view);
  if (input.view === '3d' && input.unit === 'px') return fault('px-in-3d');
  const sizes = new Set(Object.values(input.points).map((list) => list.length));
  if (sizes.size > 1) return fault('point-lists-differ');
  const seen = isSide(input.view) || input.view === 'overhead' ? headingOf(input) : undefined;
  if (input.heading !== undefined && seen !== undefined && seen !== input.heading)
    return fault('heading-wrong');
  return undefined;
}

/** @returns true when the shoulders are mostly the wrong way round on the swimmer's own left axis; false when they were not seen */
export function sidesSwapped(scene: Scene): boolean {
  if (!scene.axes.includes('left')) return false;
  const right = coordinate(scene, 'right-shoulder', 'left', 'raw');
  const apart = finite(coordinate(scene, 'left-shoulder', 'left', 'raw').map((v, i) => v - right[i]!));
  return apart.length > 0 && median(apart) < 0;
}

function distances(scene: Scene, from: string, to: string): number[] {
  const axes: readonly Axis[] = scene.axes;
  return finite(
    Array.from({ length: scene.frames }, (_, i) =>
      length(minus(positionIn(scene, from, axes, i, 'raw'), positionIn(scene, to, axes, i, 'raw'))),
    ),
  );
}

/** Segments that keep their length in a view: all in 3D, the breadths when seen along the swimming direction. */
function rigidSegments(scene: Scene): { segment: string; from: string; to: string }[] {
  const breadths = [
    { segment: 'shoulder-line', from: 'left-shoulder', to: 'right-shoulder' },
    { segment: 'hip-line', from: 'left-hip', to: 'right-hip' },
  ];
  if (isEndOn(scene.view)) return breadths;
  if (scene.view !== '3d') return [];
  return [
    ...breadths,
    ...SIDES.flatMap((side) =>
      [
        ['upper-arm', 'shoulder', 'elbow'],
        ['forearm', 'elbow', 'wrist'],
        ['thigh', 'hip', 'knee'],
        ['shank', 'knee', 'ankle'],
      ].map(([part, from, to]) => ({
        segment: `${side}-${part}`,
        from: `${side}-${from}`,
        to: `${side}-${to}`,
      })),
    ),
  ];
}

/** Length, its variation and its drift over the recording, in metres; undefined when too few frames show it. */
export function segmentLength(
  scene: Scene,
  from: string,
  to: string,
): { mean: number; sd: number; drift: number } | undefined {
  if (!hasPoints(scene, [from, to], scene.axes)) return undefined;
  const lengths = distances(scene, from, to);
  if (lengths.length < 10) return undefined;
  const third = Math.floor(lengths.length / 3);
  const drift = mean(lengths.slice(-third)) - mean(lengths.slice(0, third));
  return { mean: mean(lengths), sd: standardDeviation(lengths), drift };
}

const percent = (share: number): string => String(Math.round(100 * share));

/** @returns warnings that do not stop the measuring, such as segments whose length varies by more than a body's can */
export function warnings(scene: Scene, input: LandmarksInput): LandmarkNote[] {
  const found: LandmarkNote[] = [];
  const say = (code: string, values: LandmarkNote['values'] = {}): void => {
    found.push(warn(code, scene.view, values));
  };
  if (scene.frameRate < LOW_FRAME_RATE) say('frame-rate-low', { rate: String(scene.frameRate) });
  if (input.unit === 'px' && input.calibration && input.pixelsPerMetre === undefined && !scene.scale.known)
    say('calibration-missing');
  const marked = SIDES.flatMap((side) => input.entryFrames?.[side] ?? []);
  const outside = marked.filter((frame) => frame >= scene.frames);
  if (outside.length > 0) say('entries-outside-film', { frames: [...new Set(outside)].join(', ') });
  for (const { segment, from, to } of rigidSegments(scene)) {
    const seen = segmentLength(scene, from, to);
    if (!seen) continue;
    const drift = Math.abs(seen.drift) / seen.mean;
    const variation = seen.sd / seen.mean;
    if (isEndOn(scene.view) && drift > SIZE_LIMIT) {
      if (segment === 'shoulder-line' && scene.scale.known) say('size-changes', { percent: percent(drift) });
    } else if (variation > SEGMENT_LIMIT)
      say('segment-length-varies', { segment, percent: percent(variation) });
  }
  return found;
}

/** True when one scale cannot hold for all frames, so no length may be given. */
export function sizeChanges(scene: Scene): boolean {
  if (!isEndOn(scene.view)) return false;
  const shoulders = segmentLength(scene, 'left-shoulder', 'right-shoulder');
  return shoulders !== undefined && Math.abs(shoulders.drift) / shoulders.mean > SIZE_LIMIT;
}
