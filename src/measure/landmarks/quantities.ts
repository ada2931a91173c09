/** Every code that landmarks can give, in the order of the answer. */
import { elbowAngleMid, extensionElbow, forearmFromVerticalMid, forearmPitchAtCatch } from './arm-angles.ts';
import { HAND_PATH } from './hand-path.ts';
import { HEAD } from './head.ts';
import { LEGS } from './legs.ts';
import type { Quantity } from './quantity.ts';
import { ROLL } from './roll.ts';
import { TRUNK } from './trunk.ts';

export const QUANTITIES: readonly Quantity[] = [
  ...TRUNK,
  ...HEAD,
  ...ROLL,
  ...HAND_PATH,
  forearmPitchAtCatch,
  forearmFromVerticalMid,
  elbowAngleMid,
  extensionElbow,
  ...LEGS,
];
