/** Every code that landmarks can give, in the order of the answer. */
import { ELBOW } from './elbow.ts';
import { ENTRY } from './entry.ts';
import { FOREARM } from './forearm.ts';
import { HAND_ASIDE } from './hand-aside.ts';
import { HAND_DEPTH } from './hand-depth.ts';
import { HEAD } from './head.ts';
import { KICK } from './kick.ts';
import { LEGS } from './legs.ts';
import type { Quantity } from './quantity.ts';
import { ROLL } from './roll.ts';
import { TRUNK } from './trunk.ts';

export const QUANTITIES: readonly Quantity[] = [
  ...TRUNK,
  ...HEAD,
  ...ROLL,
  ...ENTRY,
  ...HAND_ASIDE,
  ...HAND_DEPTH,
  ...FOREARM,
  ...ELBOW,
  ...KICK,
  ...LEGS,
];
