/**
 * A front-crawl swimmer in space, moving by formulas. Imports nothing from the service, so that what it says about itself
 * can check what the service measures.
 *
 * Axes: x in the swimming direction, y to the swimmer's left, z up with 0 at the water surface; metres, seconds, degrees.
 */
import { type Random, random } from './random.ts';
import { type Curve, spline } from './spline.ts';

export type Side = 'left' | 'right';
export type Vec = readonly [number, number, number];
export type Pose = Readonly<Record<string, Vec>>;
export const SIDES = ['left', 'right'] as const;
const RAD = Math.PI / 180;

/** Directions of upper arm and forearm (ahead, outward, up) at shares of the arm cycle from the hand's entry. */
const STROKE: readonly { at: number; upper: Vec; fore: Vec }[] = [
  { at: 0.0, upper: [0.88, 0.2, 0.28], fore: [0.92, -0.12, -0.3] },
  { at: 0.15, upper: [0.97, 0.16, 0.0], fore: [0.98, -0.14, -0.16] },
  { at: 0.3, upper: [0.86, 0.4, -0.16], fore: [0.78, -0.08, -0.6] },
  { at: 0.44, upper: [0.22, 0.82, -0.5], fore: [-0.05, -0.48, -0.9] },
  { at: 0.54, upper: [-0.55, 0.55, -0.5], fore: [-0.45, -0.26, -0.85] },
  { at: 0.62, upper: [-0.9, 0.28, -0.12], fore: [-0.85, -0.02, -0.45] },
  { at: 0.7, upper: [-0.85, 0.36, 0.46], fore: [-0.88, 0.1, -0.04] },
  { at: 0.765, upper: [-0.5, 0.55, 0.7], fore: [-0.5, 0.65, 0.0] },
  { at: 0.83, upper: [0.05, 0.6, 0.8], fore: [0.3, 0.75, -0.2] },
  { at: 0.93, upper: [0.72, 0.38, 0.6], fore: [0.82, 0.06, -0.16] },
];

/** What makes one swimmer differ from another. */
export interface Build {
  readonly heightM: number;
  readonly cycleS: number;
  readonly speed: number;
  readonly incline: number;
  readonly hipJointDepth: number;
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
  /** How each arm of this swimmer differs from the model stroke, one item per pose. */
  readonly style: Readonly<Record<Side, readonly { upper: Vec; fore: Vec }[]>>;
  readonly lag: number;
  /** Scale of the variation from cycle to cycle. */
  readonly unsteady: number;
}

const vec = (r: Random, sd: number): Vec => [r.normal(sd), r.normal(sd), r.normal(sd)];

export function drawBuild(seed: number): Build {
  const r = random(seed);
  const style = (): { upper: Vec; fore: Vec }[] =>
    STROKE.map(() => ({ upper: vec(r, 0.05), fore: vec(r, 0.05) }));
  // habits: straight arm in mid-pull, crossing entry, flat or steep catch, short entry
  const habits = (own: { upper: Vec; fore: Vec }[]): { upper: Vec; fore: Vec }[] => {
    const [straight, cross, steep, short] = [
      r.between(0, 1),
      r.between(-0.3, 0.02),
      r.between(-0.1, 0.5),
      r.between(0, 0.6),
    ];
    const bend: Record<number, { upper: Vec; fore: Vec }> = {
      0: { upper: [0, 0, 0], fore: [-0.2 * short, cross, -0.4 * short] },
      1: { upper: [0, 0, 0], fore: [0, cross, 0] },
      2: { upper: [0, 0, 0], fore: [0, cross / 2, -steep] },
      3: { upper: [0, -0.25 * straight, -0.3 * straight], fore: [0, 0.4 * straight, 0] },
      4: { upper: [0, -0.15 * straight, -0.2 * straight], fore: [0, 0.2 * straight, 0] },
      9: { upper: [0, 0, 0], fore: [-0.3 * short, 0, -0.4 * short] },
    };
    return own.map((o, k) => ({
      upper: add(o.upper, bend[k]?.upper ?? [0, 0, 0]),
      fore: add(o.fore, bend[k]?.fore ?? [0, 0, 0]),
    }));
  };
  const breath = r.between(0, 1);
  return {
    heightM: r.between(1.58, 1.95),
    cycleS: r.between(1.25, 2.1),
    speed: r.between(0.9, 1.6),
    incline: r.between(4, 15),
    hipJointDepth: r.between(0.13, 0.19),
    shoulderRoll: r.between(35, 58),
    hipRoll: r.between(16, 32),
    rollLean: r.normal(5),
    sway: r.between(0.03, 0.13),
    neck: r.between(-6, 26),
    breath: breath < 0.42 ? 'left' : breath < 0.84 ? 'right' : undefined,
    turn: r.between(65, 90),
    lift: r.between(0, 0.07),
    kicks: ([1, 2, 3] as const)[Math.floor(r.between(0, 3))]!,
    thighDrop: r.between(21, 26),
    thighSwing: r.between(9, 14),
    kneeRest: r.between(8, 16),
    kneeSwing: r.between(20, 45),
    style: { left: habits(style()), right: habits(style()) },
    lag: r.normal(0.015),
    unsteady: r.between(0.6, 1.4),
  };
}

export interface Swimmer {
  readonly build: Build;
  readonly poseAt: (t: number) => Pose;
  /** Swims from 0 to this time. */
  readonly seconds: number;
  readonly armLength: number;
}

const unit = (v: Vec): Vec => {
  const size = Math.hypot(...v);
  return [v[0] / size, v[1] / size, v[2] / size];
};
const add = (a: Vec, b: Vec, share = 1): Vec => [
  a[0] + share * b[0],
  a[1] + share * b[1],
  a[2] + share * b[2],
];
const half = (a: Vec, b: Vec): Vec => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];

/** Phase of the whole body in cycles, rising with time, and factors that differ from cycle to cycle. */
function clock(
  cycles: number,
  cycleS: number,
  steady: number,
  r: Random,
): { phase: Curve; starts: number[] } {
  const starts = [0];
  for (let c = 0; c < cycles; c++) starts.push(starts.at(-1)! + cycleS * (1 + r.normal(0.012 * steady)));
  return {
    phase: spline(
      starts,
      starts.map((_, i) => i),
    ),
    starts,
  };
}

/** A value that differs a little from cycle to cycle, passing smoothly from one to the next. */
function wavering(phase: Curve, cycles: number, base: number, sd: number, r: Random): Curve {
  const values = Array.from({ length: cycles + 2 }, () => base + r.normal(sd));
  return (t) => {
    const p = Math.max(0, phase(t));
    const from = Math.round(p);
    // half of the passing lies on each side of the start of a cycle
    const share = Math.max(0, Math.min(1, (p - from + PASSING) / (2 * PASSING)));
    const smooth = share * share * (3 - 2 * share);
    return values[from]! * (1 - smooth) + values[from + 1]! * smooth;
  };
}
const PASSING = 0.15;

function armCurves(
  build: Build,
  side: Side,
  phaseStarts: readonly number[],
  r: Random,
): (t: number) => { upper: Vec; fore: Vec } {
  const times: number[] = [];
  const knots: { upper: Vec; fore: Vec }[] = [];
  const offset = side === 'right' ? 0 : 0.5 + build.lag;
  const at = (phase: number): number => {
    const c = Math.max(0, Math.min(phaseStarts.length - 2, Math.floor(phase)));
    return phaseStarts[c]! + (phase - c) * (phaseStarts[c + 1]! - phaseStarts[c]!);
  };
  for (let c = -1; c < phaseStarts.length; c++)
    STROKE.forEach((pose, k) => {
      const own = build.style[side][k]!;
      const sd = 0.035 * build.unsteady;
      times.push(at(c + pose.at + offset));
      knots.push({
        upper: add(add(pose.upper, own.upper), vec(r, sd)),
        fore: add(add(pose.fore, own.fore), vec(r, sd)),
      });
    });
  const curve = (which: 'upper' | 'fore'): ((t: number) => Vec) => {
    const [x, y, z] = [0, 1, 2].map((i) =>
      spline(
        times,
        knots.map((k) => k[which][i]!),
      ),
    );
    const outward = side === 'left' ? 1 : -1;
    return (t) => unit([x!(t), outward * y!(t), z!(t)]);
  };
  const [upper, fore] = [curve('upper'), curve('fore')];
  return (t) => ({ upper: upper(t), fore: fore(t) });
}

/** Smooth hump of height 1 around a phase. */
function hump(phase: number, centre: number, halfWidth: number): number {
  const off = Math.abs(phase - centre - Math.round(phase - centre)) / halfWidth;
  return off >= 1 ? 0 : (1 + Math.cos(Math.PI * off)) / 2;
}

/**
 * @param cycles how many arm cycles to swim
 * @param seed of the variation from cycle to cycle
 */
export function swimmer(build: Build, cycles: number, seed: number): Swimmer {
  const r = random(seed + 77_777);
  const n = Math.ceil(cycles) + 1;
  const u = build.unsteady;
  const { phase, starts } = clock(n, build.cycleS, u, r);
  const H = build.heightM;
  const size = {
    upper: 0.172 * H,
    fore: 0.157 * H,
    hand: 0.105 * H,
    shoulders: 0.2 * H,
    hips: 0.105 * H,
    trunk: 0.285 * H,
    thigh: 0.245 * H,
    shank: 0.246 * H,
  };
  const arms = { right: armCurves(build, 'right', starts, r), left: armCurves(build, 'left', starts, r) };
  const wander = {
    incline: wavering(phase, n, build.incline, 0.8 * u, r),
    shoulderRoll: wavering(phase, n, build.shoulderRoll, 2.5 * u, r),
    hipRoll: wavering(phase, n, build.hipRoll, 2 * u, r),
    lean: wavering(phase, n, build.rollLean, 1.2 * u, r),
    sway: wavering(phase, n, build.sway, 0.012 * u, r),
    neck: wavering(phase, n, build.neck, 2 * u, r),
    lift: wavering(phase, n, build.lift, 0.008 * u, r),
    depth: wavering(phase, n, build.hipJointDepth, 0.008 * u, r),
    swing: wavering(phase, n, build.thighSwing, 0.8 * u, r),
    beat: wavering(phase, n, 0, 0.01 * u, r),
    knee: wavering(phase, n, build.kneeSwing, 3 * u, r),
  };
  const poseAt = (t: number): Pose => {
    const p = phase(t);
    const turn = 2 * Math.PI * p;
    const incline = wander.incline(t) * RAD;
    const wave = Math.cos(turn - Math.PI / 2);
    const rollS = (wander.lean(t) + wander.shoulderRoll(t) * wave) * RAD;
    const rollH = (0.4 * wander.lean(t) + wander.hipRoll(t) * Math.cos(turn - Math.PI / 2 - 0.35)) * RAD;
    const hips: Vec = [
      build.speed * t + 0.02 * Math.sin(2 * turn),
      (wander.sway(t) / 2) * Math.sin(turn + 0.6),
      -wander.depth(t) + 0.01 * Math.cos(2 * turn),
    ];
    const chest = add(hips, [Math.cos(incline), 0, Math.sin(incline)], size.trunk);
    const shoulders: Vec = [chest[0], hips[1] * -0.3, chest[2]];
    const pose: Record<string, Vec> = {};
    for (const side of SIDES) {
      const out = side === 'left' ? 1 : -1;
      const across = (roll: number): Vec => [0, out * Math.cos(roll), out * Math.sin(roll)];
      const shoulder = add(shoulders, across(rollS), size.shoulders / 2);
      const { upper, fore } = arms[side](t);
      const elbow = add(shoulder, upper, size.upper);
      const wrist = add(elbow, fore, size.fore);
      const hip = add(hips, across(rollH), size.hips / 2);
      const beat = build.kicks * (turn + 2 * Math.PI * wander.beat(t)) + (side === 'left' ? Math.PI : 0);
      const thigh = (build.thighDrop + wander.swing(t) * Math.sin(beat)) * RAD;
      const bend = (build.kneeRest + (wander.knee(t) * (1 + Math.sin(beat + 1.1))) / 2) * RAD;
      const lean = 0.4 * rollH;
      const down = (angle: number): Vec => [
        -Math.cos(angle),
        Math.sin(angle) * Math.sin(lean),
        -Math.sin(angle) * Math.cos(lean),
      ];
      const knee = add(hip, down(thigh), size.thigh);
      const ankle = add(knee, down(thigh - bend), size.shank);
      pose[`${side}-shoulder`] = shoulder;
      pose[`${side}-elbow`] = elbow;
      pose[`${side}-wrist`] = wrist;
      pose[`${side}-hand`] = add(wrist, fore, size.hand);
      pose[`${side}-hip`] = hip;
      pose[`${side}-knee`] = knee;
      pose[`${side}-ankle`] = ankle;
      pose[`${side}-heel`] = add(ankle, [-0.03, 0, 0.045]);
    }
    pose.seat = add(hips, [0, 0, 0.1]);
    const breath = build.breath ? hump(p, build.breath === 'right' ? 0.75 : 0.25, 0.17) : 0;
    const facing = (build.breath === 'left' ? -1 : 1) * build.turn * breath * RAD;
    // the line from chin to crown stands 19.65 degrees off the axis of this head
    const pitch = (wander.neck(t) - Math.atan(0.075 / 0.21) / RAD) * RAD + incline;
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
    const head = add(add(shoulders, [0.19, 0, 0.02]), [0, 0, wander.lift(t) * breath]);
    pose.crown = add(head, axis, 0.12);
    pose.chin = add(add(head, axis, -0.09), face, 0.075);
    for (const side of SIDES)
      pose[`${side}-eye`] = add(
        add(add(head, axis, 0.01), face, 0.09),
        ear,
        side === 'left' ? 0.032 : -0.032,
      );
    return pose;
  };
  return {
    build,
    poseAt,
    seconds: starts[Math.floor(cycles)]! + (cycles % 1) * build.cycleS,
    armLength: size.upper + size.fore + size.hand,
  };
}

export const middleOf = (pose: Pose, part: string): Vec =>
  half(pose[`left-${part}`]!, pose[`right-${part}`]!);
