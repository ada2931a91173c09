/** How deep the hand goes and where it comes out, seen from the side. */
import { depthSd, lengthSd, parallaxSd } from './camera.ts';
import { apex, tops } from './extremum.ts';
import { CM, fromBelievableChange, type Quantity, type Reading } from './quantity.ts';
import { finite, meanSize, subtract, valueAt } from './sample.ts';
import { coordinate } from './scene.ts';
import { differenceNoise } from './smooth.ts';
import { byLine, momentsOf, surfaceSd } from './surface.ts';

/** A hand that leaves the water is about this far outside its hip, and this far behind the middle of the picture (judgement). */
const EXIT_ASIDE_M = 0.2;
const EXIT_OFF_MIDDLE_M = 0.3;

export const exitPastHip: Quantity = {
  code: 'exit-past-hip',
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
      const across = CM * parallaxSd(scene, EXIT_ASIDE_M, EXIT_OFF_MIDDLE_M);
      const length = lengthSd(scene, 'arm') * meanSize(values);
      return { side, values, systematic: Math.hypot(length, surface, across) };
    }),
};

/** The pulling hand is mostly this near to the middle of the picture, in metres (judgement). */
const HAND_ALONG_M = 0.3;

export const handDepthMax: Quantity = {
  code: 'hand-depth-max',
  unit: 'cm',
  views: ['side-under', '3d'],
  points: ['*-hand'],
  sided: true,
  needs: ['scale', 'waterline', 'cycle'],
  // as the place of the hand at entry and exit (judgement)
  typicalSd: 2,
  formula: 'surface above the fingertip at its deepest',
  source: 'definition of hand-depth-max',
  measure: (scene, timing, sides) =>
    sides.map((side): Reading => {
      const smooth = coordinate(scene, `${side}-hand`, 'up', 'smooth').map((v) => -v * CM);
      const raw = coordinate(scene, `${side}-hand`, 'up', 'raw').map((v) => -v * CM);
      const noise = differenceNoise(raw);
      const values = tops(smooth, 0.4 * timing.period!)
        .filter((i) => smooth[i]! > 0)
        .map((i) => apex(raw, noise, i, timing.period! / 16).value);
      return {
        side,
        values,
        systematic: CM * depthSd(scene, 'arm', meanSize(values) / CM, HAND_ALONG_M),
      };
    }),
};

export const HAND_DEPTH = [exitPastHip, handDepthMax] as const;
