/**
 * What makes one swimmer differ from another.
 *
 * Where the rule set has bands for a quantity, the draws span them from novice to advanced (judgement of the rule set, not
 * data), so that a camera sees flat and steep, narrow and wide, straight and bent arms. Two gaps: recoveries are wide (0.5 to
 * 0.7 m outside the shoulder, for a hand that clears the water and turns at a pace that an elbow can), and no hand leaves
 * the water more than 0.1 m ahead of the hip.
 */
import { type Random, random } from './random.ts';

export type Side = 'left' | 'right';
export type Vec = readonly [number, number, number];
export const SIDES = ['left', 'right'] as const;

/** Directions (ahead, outward, up) of upper arm and forearm with the hand; the lengths do not matter. */
export interface ArmPose {
  readonly upper: Vec;
  readonly fore: Vec;
}

/** Shares of the arm cycle, from the hand's entry, at which the poses of an arm are given. */
export const POSE_AT = [0, 0.15, 0.3, 0.44, 0.54, 0.62, 0.7, 0.765, 0.83, 0.93] as const;

export interface Build {
  readonly heightM: number;
  readonly cycleS: number;
  readonly speed: number;
  readonly incline: number;
  readonly shoulderDepth: number;
  readonly shoulderRoll: number;
  readonly hipRoll: number;
  /** Added to the roll towards left side up. */
  readonly rollLean: number;
  readonly sway: number;
  readonly neck: number;
  /** Side breathed to in every cycle; undefined: no breath. */
  readonly breath: Side | undefined;
  readonly turn: number;
  readonly lift: number;
  /** Kicks of one leg per arm cycle. */
  readonly kicks: 1 | 2 | 3;
  readonly thighDrop: number;
  readonly thighSwing: number;
  readonly kneeRest: number;
  readonly kneeSwing: number;
  /** One item per entry of POSE_AT. */
  readonly arms: Readonly<Record<Side, readonly ArmPose[]>>;
  readonly lag: number;
  /** Scale of the variation from cycle to cycle: 1 is usual, 0 a machine. */
  readonly unsteady: number;
}

/** Directions of three axes, each off by its own normal error. */
export const shaken = (v: Vec, r: Random, sd: number): Vec => [
  v[0] + r.normal(sd),
  v[1] + r.normal(sd),
  v[2] + r.normal(sd),
];

/** Differences of poses between arms that no habit below explains: 3 degrees of direction (judgement). */
const STYLE = 0.05;

/**
 * One arm from the habits that coaches name. Each habit runs over its whole range, whatever the others are.
 */
function armOf(r: Random, shoulderRoll: number): ArmPose[] {
  const straight = r.between(0, 1);
  // the entering forearm points inward: over the midline, or straight ahead of the shoulder
  const inward = r.between(-0.15, 0.6);
  const steep = r.between(-0.1, 1);
  const short = r.between(0, 1);
  // forearm off the vertical when the hand is below the shoulder, ahead or behind and in or out
  const ahead = r.normal(0.2);
  const aside = r.normal(0.15);
  // 1: the elbow leads the hand out beside the hip
  const early = r.between(0, 1);
  // without roll a hand can pass the shoulder above the water only on a wide way
  const wide = r.between(Math.max(0, Math.min(1, (50 - shoulderRoll) / 25)), 1);
  const finish = (late: number, soon: number): number => late + (soon - late) * early;
  const poses: ArmPose[] = [
    { upper: [0.88, 0.2, 0.28], fore: [0.92 - 0.3 * short, -inward, -0.3 - 0.5 * short] },
    { upper: [0.97, 0.16, 0], fore: [0.98, -0.9 * inward, -0.12 - 0.35 * steep] },
    { upper: [0.86, 0.4, -0.16], fore: [0.78 - 0.3 * steep, -0.08 - 0.2 * inward, -0.55 - 0.5 * steep] },
    {
      upper: [0.22, 0.82 - 0.25 * straight, -0.4 - 0.4 * straight],
      fore: [-0.05 + ahead, -0.48 + 0.4 * straight + aside, -0.9],
    },
    {
      upper: [-0.55, 0.55 - 0.15 * straight, -0.4 - 0.3 * straight],
      fore: [-0.45 + ahead, -0.26 + 0.2 * straight + aside, -0.85],
    },
    {
      upper: [finish(-0.9, -0.75), 0.28, finish(-0.12, 0.2)],
      fore: [finish(-0.85, -0.35), -0.02, finish(-0.45, -0.85)],
    },
    {
      upper: [finish(-0.85, -0.55), 0.36, finish(0.46, 0.75)],
      fore: [finish(-0.88, -0.2), 0.1, finish(-0.04, -0.5)],
    },
    { upper: [-0.4, 0.35 + 0.2 * wide, 0.8], fore: [-0.5, 0.3 + 0.45 * wide, -0.1 + 0.1 * wide] },
    { upper: [0.1, 0.25 + 0.35 * wide, 0.85], fore: [0.25, 0.35 + 0.4 * wide, -0.1 + 0.05 * wide] },
    {
      upper: [0.72 - 0.1 * short, 0.22, 0.6],
      fore: [0.85 - 0.2 * short, -inward, 0.02 - 0.32 * short],
    },
  ];
  return poses.map(({ upper, fore }) => ({ upper: shaken(upper, r, STYLE), fore: shaken(fore, r, STYLE) }));
}

/** A swimmer that follows from the seed alone. */
export function drawBuild(seed: number): Build {
  const r = random(seed);
  const shoulderRoll = r.between(25, 58);
  const arms = { left: armOf(r, shoulderRoll), right: armOf(r, shoulderRoll) };
  const breath = r.between(0, 1);
  return {
    heightM: r.between(1.58, 1.95),
    // bands of the stroke rate: 28 to 50 cycles a minute
    cycleS: r.between(1.2, 2.1),
    speed: r.between(0.7, 1.7),
    incline: r.between(3, 20),
    shoulderDepth: r.between(0.06, 0.11),
    shoulderRoll,
    hipRoll: r.between(14, 34),
    // uneven by 0 to 18 degrees between the sides
    rollLean: r.normal(4.5),
    sway: r.between(0.015, 0.13),
    neck: r.between(-5, 35),
    breath: breath < 0.42 ? 'left' : breath < 0.84 ? 'right' : undefined,
    turn: r.between(65, 95),
    lift: r.between(0, 0.09),
    kicks: ([1, 2, 3] as const)[Math.floor(r.between(0, 3))]!,
    thighDrop: r.between(19, 28),
    thighSwing: r.between(9, 15),
    kneeRest: r.between(8, 16),
    kneeSwing: r.between(15, 55),
    arms,
    // entries 0 to 12 % of a cycle off the even rhythm
    lag: r.normal(0.03),
    unsteady: r.between(0.6, 1.4),
  };
}
