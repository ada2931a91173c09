/** Plane and space geometry on swimmer axes. Angles in degrees. */
export type Vector = readonly number[];

/** Degrees of a radian. */
export const DEGREES = 180 / Math.PI;

/** Difference, component by component; NaN where one is missing. */
export const minus = (a: Vector, b: Vector): number[] => a.map((x, i) => x - b[i]!);
/** Euclidean length, in the unit of the components. */
export const length = (a: Vector): number => Math.hypot(...a);

/** Points closer than this lie on each other: what is left of their distance is rounding. In any unit of length. */
const COINCIDENT = 1e-9;

/**
 * Interior angle at b, from 0 (folded) to 180 (straight); works for two and three components.
 * atan2 of cross and dot product keeps its digits near 0 and 180, unlike acos.
 * @returns degrees; NaN when a or c coincides with b, or a component is missing
 */
export function interiorAngle(a: Vector, b: Vector, c: Vector): number {
  const u = minus(a, b);
  const w = minus(c, b);
  if (!(length(u) > COINCIDENT && length(w) > COINCIDENT)) return Number.NaN;
  const cross =
    u.length === 2
      ? u[0]! * w[1]! - u[1]! * w[0]!
      : Math.hypot(
          u[1]! * w[2]! - u[2]! * w[1]!,
          u[2]! * w[0]! - u[0]! * w[2]!,
          u[0]! * w[1]! - u[1]! * w[0]!,
        );
  const dot = u.reduce((sum, x, i) => sum + x * w[i]!, 0);
  return Math.atan2(Math.abs(cross), dot) * DEGREES;
}

/**
 * Standard deviation of an interior angle from independent noise per axis.
 * @param noise standard deviation of one coordinate, in the unit of the lengths
 * @returns degrees
 */
export function interiorAngleSd(noise: number, first: number, second: number, angle: number): number {
  const cross = (2 * Math.cos(angle / DEGREES)) / (first * second);
  return noise * Math.sqrt(2 / first ** 2 + 2 / second ** 2 - cross) * DEGREES;
}

/** Wraps an angle difference to -180 to 180. */
export const wrapped = (degrees: number): number => degrees - 360 * Math.round(degrees / 360);
