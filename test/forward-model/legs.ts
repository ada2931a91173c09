/** One leg of the model swimmer. */
import type { Vec } from './build.ts';
import { add } from './vec.ts';

const RAD = Math.PI / 180;

interface Leg {
  /** Lengths in metres. */
  readonly thigh: number;
  readonly shank: number;
  /** Mean angle of the thigh below the horizontal, and its swing to each side of it, in degrees. */
  readonly drop: number;
  readonly swing: number;
  /** Least bend of the knee and how much more it bends, in degrees. */
  readonly rest: number;
  readonly bend: number;
  /** Phase of the kick and tilt of the leg's plane with the hips, in radians. */
  readonly beat: number;
  readonly lean: number;
}

export function legOf(hip: Vec, leg: Leg): { knee: Vec; ankle: Vec; heel: Vec } {
  const thigh = (leg.drop + leg.swing * Math.sin(leg.beat)) * RAD;
  const bend = (leg.rest + (leg.bend * (1 + Math.sin(leg.beat + 1.1))) / 2) * RAD;
  const down = (angle: number): Vec => [
    -Math.cos(angle),
    Math.sin(angle) * Math.sin(leg.lean),
    -Math.sin(angle) * Math.cos(leg.lean),
  ];
  const knee = add(hip, down(thigh), leg.thigh);
  const ankle = add(knee, down(thigh - bend), leg.shank);
  return { knee, ankle, heel: add(ankle, [-0.03, 0, 0.045]) };
}
