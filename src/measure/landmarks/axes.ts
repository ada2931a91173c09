/** From the axes of the picture to the swimmer's: forward, left and up. */
import type { Arm, LandmarksInput, LandmarkView } from './types.ts';

/** The swimmer's own axes. */
export const AXES = ['forward', 'left', 'up'] as const;
export type Axis = (typeof AXES)[number];

/** Which input component an axis comes from, and its sign. */
export type AxisMap = Partial<Record<Axis, { readonly index: 0 | 1 | 2; readonly sign: 1 | -1 }>>;

const SHOWN: Record<LandmarkView, readonly Axis[]> = {
  'side-under': ['forward', 'up'],
  'side-above': ['forward', 'up'],
  'front-under': ['left', 'up'],
  rear: ['left', 'up'],
  overhead: ['forward', 'left'],
  '3d': ['forward', 'left', 'up'],
};

/** The axes that a view can show at all. */
export const axesOf = (view: LandmarkView): readonly Axis[] => SHOWN[view];

/** Seen across the swimming direction, from beside the lane. */
export const isSide = (view: LandmarkView): boolean => view === 'side-under' || view === 'side-above';
/** Seen along the swimming direction: the picture grows as the swimmer comes nearer. */
export const isEndOn = (view: LandmarkView): boolean => view === 'front-under' || view === 'rear';

/**
 * @param heading which way the swimmer swims in the picture; only side and overhead views need it
 * @returns for every axis of the view its component (0 x, 1 y, 2 z) and sign
 */
export function axisMap(input: Pick<LandmarksInput, 'view' | 'unit'>, heading: Arm): AxisMap {
  const { view } = input;
  if (view === '3d')
    return { forward: { index: 0, sign: 1 }, left: { index: 1, sign: 1 }, up: { index: 2, sign: 1 } };
  const ahead = heading === 'right' ? 1 : -1;
  const upInPicture = input.unit === 'px' ? -1 : 1;
  if (isSide(view)) return { forward: { index: 0, sign: ahead }, up: { index: 1, sign: upInPicture } };
  if (isEndOn(view))
    return {
      left: { index: 0, sign: view === 'front-under' ? 1 : -1 },
      up: { index: 1, sign: upInPicture },
    };
  // from above, a swimmer heading right has the left hand towards the top of the picture
  return { forward: { index: 0, sign: ahead }, left: { index: 1, sign: (ahead * upInPicture) as 1 | -1 } };
}
