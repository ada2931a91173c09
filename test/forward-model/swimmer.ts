/**
 * A front-crawl swimmer in space, moving by formulas. Imports nothing from the service, so that what it says about itself
 * can check what the service measures.
 *
 * Axes: x in the swimming direction, y to the swimmer's left, z up with 0 at the water surface; metres, seconds, degrees.
 */
import { type ArmPose, type Build, POSE_AT, SIDES, type Side, shaken, type Vec } from './build.ts';
import { legOf } from './legs.ts';
import { type Random, random } from './random.ts';
import { splines } from './spline.ts';
import { add, half, unit } from './vec.ts';

export type Pose = Readonly<Record<string, Vec>>;

export interface Swimmer {
  readonly build: Build;
  readonly poseAt: (t: number) => Pose;
  /** Swims from 0 to this time. */
  readonly seconds: number;
  readonly armLength: number;
}

const RAD = Math.PI / 180;

/** Shares of the height from joint to joint (Drillis and Contini 1966 as in Winter, from memory; breadths judgement). */
const SHARES = {
  upper: 0.172,
  fore: 0.157,
  hand: 0.105,
  shoulders: 0.2,
  hips: 0.105,
  trunk: 0.285,
  thigh: 0.245,
  shank: 0.246,
};

/**
 * Standard deviation from cycle to cycle of a usual swimmer, in degrees, metres, radians or cycles.
 *
 * No study of all these was found. The rule set's smallest believable changes between two films of three cycles (judgement)
 * are taken as 1.96 sqrt(2) SEM, and half of SEM squared is laid on the cycles, half on setting up again (judgement), so that
 * the standard deviation of one cycle is change / 2.77 x sqrt(3/2).
 */
const USUAL = {
  /** Band of the variation of the cycle time: 2 to 6 % intermediate, 1 to 4 % advanced. */
  cycle: 0.025,
  /** 3 degrees of trunk incline: 1.3 degrees. */
  incline: 1.3,
  /** 3 cm of hip depth: 1.3 cm, of which the incline over half a metre makes 1.1. */
  depth: 0.007,
  /** 6 degrees of roll and 6 of its difference between the sides: 2.6 each; the difference is twice the lean. */
  shoulderRoll: 2.3,
  lean: 1.3,
  /** The hips roll half as far. */
  hipRoll: 1.5,
  /** 6 degrees of neck extension. */
  neck: 2.6,
  /** 2 cm of head lift over five breaths: 1.1 cm, shared with the depth of the shoulders. */
  lift: 0.009,
  /** 8 degrees of forearm angle are 0.062 rad; 4 cm of hand place are 0.032 rad of both segments; between the two. */
  arm: 0.045,
  /** From here on without a limit in the rule set: about a tenth of the movement (judgement). */
  sway: 0.01,
  thighSwing: 1.2,
  kneeSwing: 3.5,
  /** A beat in six is a sixth of a cycle. */
  beat: 0.015,
} as const;

/** Share of a cycle, on both sides of its start, in which one cycle's value passes into the next one's. */
const PASSING = 0.15;

/** A value that differs a little from cycle to cycle, by the phase in cycles. */
function wavering(cycles: number, base: number, sd: number, r: Random): (phase: number) => number {
  const values = Array.from({ length: cycles + 2 }, () => base + r.normal(sd));
  return (phase) => {
    const p = Math.max(0, phase);
    const from = Math.round(p);
    const share = Math.max(0, Math.min(1, (p - from + PASSING) / (2 * PASSING)));
    const smooth = share * share * (3 - 2 * share);
    return values[from]! * (1 - smooth) + values[from + 1]! * smooth;
  };
}

function armCurve(build: Build, side: Side, starts: readonly number[], r: Random): (t: number) => ArmPose {
  const offset = side === 'right' ? 0 : 0.5 + build.lag;
  const at = (phase: number): number => {
    const c = Math.max(0, Math.min(starts.length - 2, Math.floor(phase)));
    return starts[c]! + (phase - c) * (starts[c + 1]! - starts[c]!);
  };
  const times: number[] = [];
  const knots: number[][] = [];
  for (let c = -1; c < starts.length; c++)
    build.arms[side].forEach((pose, k) => {
      const sd = USUAL.arm * build.unsteady;
      times.push(at(c + POSE_AT[k]! + offset));
      knots.push([...shaken(unit(pose.upper), r, sd), ...shaken(unit(pose.fore), r, sd)]);
    });
  const curves = splines(
    times,
    Array.from({ length: 6 }, (_, i) => knots.map((k) => k[i]!)),
  );
  const out = side === 'left' ? 1 : -1;
  return (t) => {
    const [ux, uy, uz, fx, fy, fz] = curves(t) as [number, number, number, number, number, number];
    return { upper: unit([ux, out * uy, uz]), fore: unit([fx, out * fy, fz]) };
  };
}

/** Smooth hump of height 1 around a phase. */
function hump(phase: number, centre: number, halfWidth: number): number {
  const off = Math.abs(phase - centre - Math.round(phase - centre)) / halfWidth;
  return off >= 1 ? 0 : (1 + Math.cos(Math.PI * off)) / 2;
}

/** Points of the head; the line from chin to crown stands 19.65 degrees off the axis of this head. */
function headOf(neckBase: Vec, headLine: number, facing: number): Record<string, Vec> {
  const pitch = headLine - Math.atan(0.075 / 0.21);
  const axis: Vec = [Math.cos(pitch), 0, Math.sin(pitch)];
  const face: Vec = [
    Math.sin(pitch) * Math.cos(facing),
    -Math.sin(facing),
    -Math.cos(pitch) * Math.cos(facing),
  ];
  const ear: Vec = [
    Math.sin(pitch) * Math.sin(facing),
    Math.cos(facing),
    -Math.cos(pitch) * Math.sin(facing),
  ];
  const brow = add(add(neckBase, axis, 0.01), face, 0.09);
  return {
    crown: add(neckBase, axis, 0.12),
    chin: add(add(neckBase, axis, -0.09), face, 0.075),
    'left-eye': add(brow, ear, 0.032),
    'right-eye': add(brow, ear, -0.032),
  };
}

/**
 * @param cycles how many arm cycles to swim
 * @param seed of the variation from cycle to cycle
 */
export function swimmer(build: Build, cycles: number, seed: number): Swimmer {
  const r = random(seed + 77_777);
  const n = Math.ceil(cycles) + 1;
  const u = build.unsteady;
  const starts = [0];
  for (let c = 0; c < n; c++) starts.push(starts.at(-1)! + build.cycleS * (1 + r.normal(USUAL.cycle * u)));
  const clock = splines(starts, [starts.map((_, i) => i)]);
  const size = (part: keyof typeof SHARES): number => SHARES[part] * build.heightM;
  const arms = { right: armCurve(build, 'right', starts, r), left: armCurve(build, 'left', starts, r) };
  const own = (key: Exclude<keyof typeof USUAL, 'cycle' | 'arm'>, base: number): ((p: number) => number) =>
    wavering(n, base, USUAL[key] * u, r);
  const wander = {
    incline: own('incline', build.incline),
    shoulderRoll: own('shoulderRoll', build.shoulderRoll),
    hipRoll: own('hipRoll', build.hipRoll),
    lean: own('lean', build.rollLean),
    sway: own('sway', build.sway),
    neck: own('neck', build.neck),
    lift: own('lift', build.lift),
    depth: own('depth', build.shoulderDepth),
    swing: own('thighSwing', build.thighSwing),
    beat: own('beat', 0),
    knee: own('kneeSwing', build.kneeSwing),
  };
  // the hips hang where the trunk holds them
  const hipDepth = (p: number): number => wander.depth(p) + size('trunk') * Math.sin(wander.incline(p) * RAD);
  const poseAt = (t: number): Pose => {
    const p = clock(t)[0]!;
    const turn = 2 * Math.PI * p;
    const incline = wander.incline(p) * RAD;
    const rollS = (wander.lean(p) + wander.shoulderRoll(p) * Math.sin(turn)) * RAD;
    const rollH = (0.4 * wander.lean(p) + wander.hipRoll(p) * Math.sin(turn - 0.35)) * RAD;
    const hips: Vec = [
      build.speed * t + 0.02 * Math.sin(2 * turn),
      (wander.sway(p) / 2) * Math.sin(turn + 0.6),
      -hipDepth(p) + 0.01 * Math.cos(2 * turn),
    ];
    const chest = add(hips, [Math.cos(incline), 0, Math.sin(incline)], size('trunk'));
    const shoulders: Vec = [chest[0], hips[1] * -0.3, chest[2]];
    const breath = build.breath ? hump(p, build.breath === 'right' ? 0.75 : 0.25, 0.17) : 0;
    const facing = (build.breath === 'left' ? -1 : 1) * build.turn * breath * RAD;
    const neckBase = add(add(shoulders, [0.19, 0, 0.02]), [0, 0, wander.lift(p) * breath]);
    const pose: Record<string, Vec> = {
      ...headOf(neckBase, wander.neck(p) * RAD + incline, facing),
      seat: add(hips, [0, 0, 0.1]),
    };
    for (const side of SIDES) {
      const out = side === 'left' ? 1 : -1;
      const across = (roll: number): Vec => [0, out * Math.cos(roll), out * Math.sin(roll)];
      const { upper, fore } = arms[side](t);
      const shoulder = add(shoulders, across(rollS), size('shoulders') / 2);
      const elbow = add(shoulder, upper, size('upper'));
      const wrist = add(elbow, fore, size('fore'));
      const hip = add(hips, across(rollH), size('hips') / 2);
      const leg = legOf(hip, {
        thigh: size('thigh'),
        shank: size('shank'),
        drop: build.thighDrop,
        swing: wander.swing(p),
        rest: build.kneeRest,
        bend: wander.knee(p),
        beat: build.kicks * (turn + 2 * Math.PI * wander.beat(p)) + (side === 'left' ? Math.PI : 0),
        lean: 0.4 * rollH,
      });
      Object.assign(pose, {
        [`${side}-shoulder`]: shoulder,
        [`${side}-elbow`]: elbow,
        [`${side}-wrist`]: wrist,
        [`${side}-hand`]: add(wrist, fore, size('hand')),
        [`${side}-hip`]: hip,
        [`${side}-knee`]: leg.knee,
        [`${side}-ankle`]: leg.ankle,
        [`${side}-heel`]: leg.heel,
      });
    }
    return pose;
  };
  return {
    build,
    poseAt,
    seconds: starts[Math.floor(cycles)]! + (cycles % 1) * build.cycleS,
    armLength: size('upper') + size('fore') + size('hand'),
  };
}

export const middleOf = (pose: Pose, part: string): Vec =>
  half(pose[`left-${part}`]!, pose[`right-${part}`]!);
