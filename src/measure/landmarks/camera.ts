/** Errors that a camera makes alike in every cycle, as standard deviations. */
import { isEndOn, isSide } from './axes.ts';
import type { Scene } from './scene.ts';

/** Where on the body a length lies, which decides how far it is from the calibrated plane. */
export type Place = 'trunk' | 'arm';

/** A camera is set level by eye or on the waterline to about a degree. */
const LEVEL_DEG = 1;
const LEVEL_3D_DEG = 0.3;
/** Where the surface is drawn, with ripples. Metres. */
const WATERLINE_M = 0.012;
const WATERLINE_3D_M = 0.005;

/** Depth off the calibrated plane over the camera's distance (F9.9: 0.30 m at 4 m is 7.5 %), per view and place. */
function offPlane(scene: Scene, place: Place): number {
  if (scene.view === '3d') return 0;
  if (isSide(scene.view)) return place === 'arm' ? 0.05 : 0.02;
  // shoulders and hips are half a metre apart in depth, and the scale holds somewhere between
  if (isEndOn(scene.view)) return 0.05;
  return 0.03;
}

/** A camera square to the lane to 4 degrees sees a forearm that slants 25 degrees in or out turned by 25 sin 4. */
const OBLIQUE_DEG = 1.7;

/** Standard deviation of a forearm angle in a picture plane from what the arm does across that plane, in degrees. */
export const obliqueSd = (scene: Scene): number => (scene.view === '3d' ? 0 : OBLIQUE_DEG);

/** Relative standard deviation of a length. */
export function lengthSd(scene: Scene, place: Place): number {
  return Math.hypot(scene.scale.relativeSd, offPlane(scene, place));
}

/** Standard deviation of an angle against the horizontal or the vertical, in degrees. */
export const levelSd = (scene: Scene): number => (scene.view === '3d' ? LEVEL_3D_DEG : LEVEL_DEG);

/** An underwater side camera hangs 0.3 to 0.6 m deep; a point at its own depth is not moved by being off the plane. */
const CAMERA_DEPTH_M = 0.45;
const CAMERA_DEPTH_SD_M = 0.15;

/** Standard deviation of a depth below the surface, in metres. */
export function depthSd(scene: Scene, place: Place, depth: number): number {
  const offAxis = scene.view === 'side-under' ? Math.hypot(depth - CAMERA_DEPTH_M, CAMERA_DEPTH_SD_M) : depth;
  return Math.hypot(scene.scale.relativeSd * depth, offPlane(scene, place) * offAxis, waterlineSd(scene));
}

/** Standard deviation of a height against the water surface, in metres. */
export const waterlineSd = (scene: Scene): number => (scene.view === '3d' ? WATERLINE_3D_M : WATERLINE_M);
