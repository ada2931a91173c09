/**
 * Errors that a camera makes alike in every cycle, as standard deviations.
 *
 * They follow by geometry from a few facts of how swimmers are filmed. Those facts are judgement: no survey of them is
 * known. All are for a camera set up with ordinary care on a pool deck or in the water.
 */
import { isEndOn, isSide } from './axes.ts';
import type { Scene } from './scene.ts';

const RADIANS = Math.PI / 180;

/** From camera to swimmer, in metres (judgement): 4 to 7 m beside or above the lane, 3.5 to 6 m along it. */
export const DISTANCE_M = 5.5;
export const DISTANCE_ALONG_M = 4.75;
/** A camera is set level by eye or on the waterline to about a degree (judgement); a calibrated frame to less. */
const LEVEL_DEG = 1;
const LEVEL_3D_DEG = 0.3;
/** A side or overhead camera is square to the lane to about two degrees (judgement). */
const SQUARE_DEG = 2;
/** Where the surface is drawn, with ripples, in metres (judgement). */
const WATERLINE_M = 0.012;
const WATERLINE_3D_M = 0.005;
/** How far the body's plane is from the calibrated one, in metres: nobody swims on a string (judgement). */
const DRIFT_M = 0.1;
/** Shoulders, elbows and hands lie about this far on either side of the body's plane, in metres. */
const ARM_ASIDE_M = 0.25;
/** Shoulders and hips are half a metre apart along the body, and an end-on scale holds somewhere between. */
const HALF_TRUNK_M = 0.25;

/** Where on the body a length lies, which decides how far it is from the calibrated plane. */
export type Place = 'trunk' | 'arm';

/** Depth off the calibrated plane over the camera's distance (similar triangles: 0.30 m at 4 m is 7.5 %). */
function offPlane(scene: Scene, place: Place): number {
  if (scene.view === '3d') return 0;
  if (isEndOn(scene.view)) return HALF_TRUNK_M / DISTANCE_ALONG_M;
  return (isSide(scene.view) && place === 'arm' ? Math.hypot(DRIFT_M, ARM_ASIDE_M) : DRIFT_M) / DISTANCE_M;
}

/** @returns relative standard deviation of a length in the picture (a share: 0.02 is 2 %), from scale and camera together */
export function lengthSd(scene: Scene, place: Place): number {
  return Math.hypot(scene.scale.relativeSd, offPlane(scene, place));
}

/** Standard deviation of an angle against the horizontal or the vertical, in degrees. */
export const levelSd = (scene: Scene): number => (scene.view === '3d' ? LEVEL_3D_DEG : LEVEL_DEG);

/**
 * Two points at different distances from the camera are moved against each other by its not being square to the lane, and
 * by perspective when they are off the middle of the picture.
 * @param acrossM how much nearer one is than the other, usually, in metres
 * @param offMiddleM how far both are from the middle of the picture, usually, in metres
 * @returns standard deviation of their distance in the picture plane, in metres
 */
export function parallaxSd(scene: Scene, acrossM: number, offMiddleM: number): number {
  if (scene.view === '3d') return 0;
  return acrossM * Math.hypot(Math.sin(SQUARE_DEG * RADIANS), offMiddleM / DISTANCE_M);
}

/** A forearm that slants by 25 degrees towards the camera or away, seen 0.3 m off the middle of the picture (judgement). */
const SLANT_DEG = 25;
const FOREARM_OFF_MIDDLE_M = 0.3;

/** Standard deviation of a forearm angle in a picture plane from what the arm does across that plane, in degrees. */
export const obliqueSd = (scene: Scene): number =>
  parallaxSd(scene, Math.sin(SLANT_DEG * RADIANS), FOREARM_OFF_MIDDLE_M) / RADIANS;

/** An underwater side camera hangs 0.3 to 0.6 m deep (judgement); a point at its own depth is not moved by being off the plane. */
const CAMERA_DEPTH_M = 0.45;
const CAMERA_DEPTH_SD_M = 0.15;

/**
 * Standard deviation of a depth below the surface, in metres.
 * @param along how far the point usually is from the middle of the picture: a picture off level moves it up or down
 */
export function depthSd(scene: Scene, place: Place, depth: number, along: number): number {
  const tilted = along * Math.sin(levelSd(scene) * RADIANS);
  const offAxis = scene.view === 'side-under' ? Math.hypot(depth - CAMERA_DEPTH_M, CAMERA_DEPTH_SD_M) : depth;
  return Math.hypot(
    scene.scale.relativeSd * depth,
    offPlane(scene, place) * offAxis,
    waterlineSd(scene),
    tilted,
  );
}

/** Standard deviation of a height against the water surface, in metres. */
export const waterlineSd = (scene: Scene): number => (scene.view === '3d' ? WATERLINE_3D_M : WATERLINE_M);
