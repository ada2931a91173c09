/** What the model swimmer's own numbers are, from its steady stroke without variation, camera or noise. */
import { type Build, SIDES, type Side, type Vec } from './build.ts';
import { middleOf, type Pose, swimmer } from './swimmer.ts';
import { dot, minus, size } from './vec.ts';

export type Truth = ReadonlyMap<string, number>;

const STEPS = 1500;
const DEG = 180 / Math.PI;

const between = (a: Vec, b: Vec): number => Math.acos(dot(a, b) / (size(a) * size(b))) * DEG;

/** Three steady cycles, densely, so that every stroke that crosses the middle one is there from entry to exit. */
function steadyPoses(build: Build): Pose[] {
  const steady = swimmer({ ...build, unsteady: 0 }, 7, 0);
  return Array.from({ length: 3 * STEPS }, (_, i) => steady.poseAt(build.cycleS * (2 + i / STEPS)));
}

function armTruth(
  poses: readonly Pose[],
  side: Side,
  armLength: number,
  put: (code: string, value: number) => void,
): void {
  const out = side === 'left' ? 1 : -1;
  const at = (i: number, name: string): Vec => poses[i]![`${side}-${name}`]!;
  const next = (from: number, holds: (i: number) => boolean): number => {
    for (let i = from; i < poses.length; i++) if (holds(i - 1) === false && holds(i)) return i;
    return -1;
  };
  const outward = (i: number, from: Vec): number => out * (at(i, 'hand')[1] - from[1]);
  const under = (i: number): boolean => at(i, 'hand')[2] < 0;
  const mid = next(STEPS, (i) => at(i, 'hand')[0] < at(i, 'shoulder')[0]);
  let [entry, exit] = [mid, mid];
  while (under(entry - 1)) entry--;
  while (under(exit)) exit++;
  const path: number[] = [0];
  for (let i = entry + 1; i <= exit; i++) {
    const [a, b] = [minus(at(i, 'hand'), at(i, 'hip')), minus(at(i - 1, 'hand'), at(i - 1, 'hip'))];
    path.push(path.at(-1)! + Math.hypot(a[0] - b[0], a[2] - b[2]));
  }
  const caught = entry + path.findIndex((way) => way >= 0.15 * path.at(-1)!);
  const fore = (i: number): Vec => minus(at(i, 'wrist'), at(i, 'elbow'));
  const elbow = (i: number): number =>
    between(minus(at(i, 'shoulder'), at(i, 'elbow')), minus(at(i, 'wrist'), at(i, 'elbow')));
  put('forearm-pitch-at-catch', Math.atan2(-fore(caught)[2], fore(caught)[0]) * DEG);
  const tiltSide = Math.abs(Math.atan2(fore(mid)[0], -fore(mid)[2]) * DEG);
  const tiltFront = Math.abs(Math.atan2(fore(mid)[1], -fore(mid)[2]) * DEG);
  put('forearm-from-vertical-mid/side', tiltSide);
  put('forearm-from-vertical-mid/front', tiltFront);
  put('forearm-from-vertical-mid/larger', Math.max(tiltSide, tiltFront));
  put('elbow-angle-mid', elbow(mid));
  put('elbow-angle-at-catch', elbow(caught));
  put('elbow-angle-at-exit', elbow(exit));
  put('exit-past-hip', 100 * (at(exit, 'hip')[0] - at(exit, 'hand')[0]));
  put('entry-reach', (100 * size(minus(at(entry, 'hand'), at(entry, 'shoulder')))) / armLength);
  put('entry-offset', 100 * outward(entry, middleOf(poses[entry]!, 'shoulder')));
  put('hand-offset-mid', 100 * outward(mid, middleOf(poses[mid]!, 'shoulder')));
  const farthest = (reach: (i: number) => number): number => {
    let best = STEPS;
    for (let i = STEPS; i < 2 * STEPS; i++) if (reach(i) > reach(best)) best = i;
    return best;
  };
  const reached = farthest((i) => at(i, 'hand')[0] - middleOf(poses[i]!, 'shoulder')[0]);
  put('reach-offset', 100 * outward(reached, middleOf(poses[reached]!, 'shoulder')));
  put('extension-elbow', elbow(farthest((i) => at(i, 'hand')[0] - at(i, 'shoulder')[0])));
  put(
    'hand-depth-max',
    -100 *
      at(
        farthest((i) => -at(i, 'hand')[2]),
        'hand',
      )[2],
  );
  const passing = next(STEPS, (i) => at(i, 'hand')[0] > at(i, 'shoulder')[0]);
  put('recovery-width', 100 * outward(passing, at(passing, 'shoulder')));
}

function legTruth(cycle: readonly Pose[], put: (code: string, value: number) => void): void {
  const perLeg = SIDES.map((side) => {
    const at = (pose: Pose, name: string): Vec => pose[`${side}-${name}`]!;
    const heights = cycle.map((p) => at(p, 'ankle')[2]);
    const turns: number[] = [];
    heights.forEach((h, i) => {
      const before = heights[(i + cycle.length - 1) % cycle.length]!;
      const after = heights[(i + 1) % cycle.length]!;
      if ((h >= before && h > after) || (h <= before && h < after)) turns.push(h);
    });
    const travels = turns.map((h, i) => Math.abs(h - turns[(i + 1) % turns.length]!));
    return {
      knee: Math.max(
        ...cycle.map(
          (p) => 180 - between(minus(at(p, 'hip'), at(p, 'knee')), minus(at(p, 'ankle'), at(p, 'knee'))),
        ),
      ),
      heel: Math.min(...cycle.map((p) => -100 * at(p, 'heel')[2])),
      travel: (100 * travels.reduce((s, v) => s + v, 0)) / travels.length,
    };
  });
  const mean = (key: 'knee' | 'heel' | 'travel'): number => (perLeg[0]![key] + perLeg[1]![key]) / 2;
  put('knee-bend', mean('knee'));
  put('heel-depth', mean('heel'));
  put('kick-amplitude', mean('travel'));
}

/** Values by `code/side`, in the units of the rule set. */
export function truthOf(build: Build): Truth {
  const poses = steadyPoses(build);
  const cycle = poses.slice(STEPS, 2 * STEPS);
  const truth = new Map<string, number>();
  const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / values.length;
  const { armLength } = swimmer(build, 1, 0);
  for (const side of SIDES)
    armTruth(poses, side, armLength, (code, value) => truth.set(`${code}/${side}`, value));
  const body = (code: string, value: number): Map<string, number> => truth.set(`${code}/body`, value);
  legTruth(cycle, body);
  body('kick-beats', 2 * build.kicks);
  body('trunk-incline', build.incline);
  body('neck-extension', build.neck);
  body('hip-depth', mean(cycle.map((p) => -100 * p.seat![2])));
  const hips = cycle.map((p) => middleOf(p, 'hip')[1]);
  body('hip-sway', 100 * (Math.max(...hips) - Math.min(...hips)));
  for (const part of ['shoulder', 'hip']) {
    const rolls = cycle.map((p) => {
      const line = minus(p[`left-${part}`]!, p[`right-${part}`]!);
      return Math.atan2(line[2], line[1]) * DEG;
    });
    truth.set(`${part}-roll/left`, Math.max(...rolls));
    truth.set(`${part}-roll/right`, -Math.min(...rolls));
  }
  truth.set('roll-right-minus-left', truth.get('shoulder-roll/right')! - truth.get('shoulder-roll/left')!);
  if (build.breath) {
    const far = build.breath === 'left' ? 'right-eye' : 'left-eye';
    const heights = cycle.map((p) => 100 * p[far]![2]);
    const before = poses
      .slice(STEPS, 2 * STEPS)
      .filter((_, i) => {
        const off = i / STEPS - (build.breath === 'right' ? 0.75 : 0.25);
        const ahead = off - Math.round(off);
        return ahead > -0.45 && ahead < -0.25;
      })
      .map((p) => 100 * p[far]![2]);
    truth.set(`head-lift/${build.breath}`, Math.max(...heights) - mean(before));
  }
  return truth;
}
