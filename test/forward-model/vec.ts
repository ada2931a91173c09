/** Vectors in space. */
import type { Vec } from './build.ts';

export const add = (a: Vec, b: Vec, share = 1): Vec => [
  a[0] + share * b[0],
  a[1] + share * b[1],
  a[2] + share * b[2],
];
export const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const half = (a: Vec, b: Vec): Vec => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const size = (a: Vec): number => Math.sqrt(dot(a, a));
export const unit = (v: Vec): Vec => {
  const long = size(v);
  return [v[0] / long, v[1] / long, v[2] / long];
};
