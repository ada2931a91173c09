/** Cameras that film the model swimmer: projection, scale, level, noise and missing points. */

import { type Build, drawBuild, type Side, type Vec } from './build.ts';
import { type Random, random } from './random.ts';
import { type Pose, swimmer } from './swimmer.ts';

export type View = 'side-under' | 'side-above' | 'front-under' | 'rear' | 'overhead' | '3d';
type Seen = [number, number] | [number, number, number] | null;

export interface Film {
  readonly view: View;
  readonly unit: 'px' | 'mm';
  readonly pixelsPerMetre?: number;
  readonly heading?: Side;
  readonly nearSide?: Side;
  readonly waterlineY?: number;
  readonly entryFrames?: { left: number[]; right: number[] };
  readonly points: Record<string, Seen[]>;
}

export interface Clip {
  readonly build: Build;
  readonly film: Film;
  readonly frameRate: number;
  readonly armLengthM: number;
}

export interface Quality {
  /** Digitising noise in metres at the swimmer. */
  readonly noiseM: number;
  /** Share of frames with a missing point. */
  readonly missing: number;
  /** 1: scale, level and waterline as unsure as usual; 0: perfect. */
  readonly cameraError: number;
}

const RAD = Math.PI / 180;
/** A lens in a flat picture: right, up and depth of a point seen by the camera, in metres. */
type Look = (point: Vec, t: number) => { right: number; up: number; depth: number };

interface Setting {
  readonly look: Look;
  readonly distance: number;
  readonly heading?: Side;
  readonly nearSide?: Side;
  /** Height of the camera over the surface; a waterline is drawn where the surface is at the swimmer. */
  readonly height?: number;
  readonly sees: (point: Vec) => boolean;
}

function sideSetting(r: Random, build: Build, above: boolean): Setting {
  const near: Side = r.between(0, 1) < 0.5 ? 'left' : 'right';
  const distance = r.between(4, 7);
  const height = above ? r.between(0.5, 1.2) : -r.between(0.3, 0.6);
  const yaw = r.normal(2) * RAD;
  const ahead = r.normal(0.2) + 0.15;
  // the swimmer does not keep quite to the plane that was calibrated
  const drift = r.normal(0.1);
  const out = near === 'left' ? 1 : -1;
  const look: Look = ([x, y, z], t) => {
    const along = -out * (x - build.speed * t - ahead);
    const away = distance - out * y + drift;
    return {
      right: along * Math.cos(yaw) - (away - distance) * Math.sin(yaw),
      up: z - height,
      depth: away * Math.cos(yaw) + along * Math.sin(yaw),
    };
  };
  return {
    look,
    distance,
    height,
    nearSide: near,
    heading: near === 'left' ? 'left' : 'right',
    sees: ([, , z]) => (above ? z > -0.18 : z < 0),
  };
}

function endSetting(r: Random, build: Build, front: boolean): Setting {
  const distance = r.between(3.5, 6);
  const height = -r.between(0.3, 0.6);
  const aside = r.normal(0.2);
  const towards = front ? 1 : -1;
  const look: Look = ([x, y, z], t) => ({
    right: towards * (y - aside),
    up: z - height,
    depth: distance - towards * (x - build.speed * t - (front ? 0.5 : 0.2)),
  });
  return { look, distance, height, sees: ([, , z]) => z < 0 };
}

function overheadSetting(r: Random, build: Build): Setting {
  const distance = r.between(4, 7);
  const heading: Side = r.between(0, 1) < 0.5 ? 'left' : 'right';
  const yaw = r.normal(3) * RAD;
  const ahead = heading === 'right' ? 1 : -1;
  const look: Look = ([x, y, z], t) => {
    const along = x - build.speed * t - 0.3;
    return {
      right: ahead * (along * Math.cos(yaw) - y * Math.sin(yaw)),
      up: ahead * (y * Math.cos(yaw) + along * Math.sin(yaw)),
      depth: distance - z,
    };
  };
  return { look, distance, heading, sees: () => true };
}

/** Short losses of a point, as trackers have them: one to four frames. */
function losses(r: Random, frames: number, share: number): boolean[] {
  const lost = Array.from({ length: frames }, () => false);
  for (let i = 0; i < frames; i++)
    if (r.between(0, 1) < share / 2.5) {
      const long = Math.floor(r.between(1, 5));
      lost.fill(true, i, Math.min(frames, i + long));
    }
  return lost;
}

function filmFlat(
  view: View,
  poses: readonly Pose[],
  times: readonly number[],
  build: Build,
  quality: Quality,
  r: Random,
): Film {
  const setting =
    view === 'overhead'
      ? overheadSetting(r, build)
      : view === 'front-under' || view === 'rear'
        ? endSetting(r, build, view === 'front-under')
        : sideSetting(r, build, view === 'side-above');
  const ppm = r.between(150, 350);
  const tilt = r.normal(1) * quality.cameraError * RAD;
  const noise = quality.noiseM * ppm;
  const place = (point: Vec, t: number): [number, number] => {
    const { right, up, depth } = setting.look(point, t);
    const [u, v] = [(ppm * setting.distance * right) / depth, (ppm * setting.distance * up) / depth];
    return [
      960 + u * Math.cos(tilt) - v * Math.sin(tilt) + r.normal(noise),
      540 - (v * Math.cos(tilt) + u * Math.sin(tilt)) + r.normal(noise),
    ];
  };
  const points: Record<string, Seen[]> = {};
  for (const name of Object.keys(poses[0]!)) {
    const lost = losses(r, poses.length, quality.missing);
    points[name] = poses.map((pose, i) => {
      const point = pose[name]!;
      return lost[i] || !setting.sees(point) ? null : place(point, times[i]!);
    });
  }
  return {
    view,
    unit: 'px',
    pixelsPerMetre: ppm * (1 + r.normal(0.01) * quality.cameraError),
    ...(setting.heading && { heading: setting.heading }),
    ...(setting.nearSide && { nearSide: setting.nearSide }),
    ...(setting.height !== undefined && {
      waterlineY: 540 + ppm * setting.height + r.normal(0.012) * quality.cameraError * ppm,
    }),
    points,
  };
}

function filmInSpace(poses: readonly Pose[], quality: Quality, r: Random): Film {
  const scale = 1000 * (1 + r.normal(0.003) * quality.cameraError);
  const pitch = r.normal(0.3) * quality.cameraError * RAD;
  const bank = r.normal(0.3) * quality.cameraError * RAD;
  const noise = quality.noiseM * 1000;
  const points: Record<string, Seen[]> = {};
  for (const name of Object.keys(poses[0]!)) {
    const lost = losses(r, poses.length, quality.missing);
    points[name] = poses.map((pose, i) => {
      if (lost[i]) return null;
      const [x, y, z] = pose[name]!;
      const turned: Vec = [x, y, z + y * bank];
      // a frame pitched about the swimmer, wherever the swimmer is
      const lift = (x - pose.seat![0]) * pitch;
      return [
        turned[0] * scale + r.normal(noise),
        turned[1] * scale + r.normal(noise),
        (turned[2] + lift) * scale + r.normal(noise),
      ];
    });
  }
  return { view: '3d', unit: 'mm', waterlineY: r.normal(5) * quality.cameraError, points };
}

/** Frames at which the fingertip goes under, as a coach would mark them: the first frame under water. */
function entriesOf(poses: readonly Pose[], side: Side): number[] {
  const tip = (i: number): number => poses[i]![`${side}-hand`]![2];
  return poses.flatMap((_, i) => (i > 0 && tip(i - 1) >= 0 && tip(i) < 0 ? [i] : []));
}

/** A tape from the shoulder to the fingertip, in metres (judgement). */
const TAPE_M = 0.015;

/** Films a swimmer with a camera of its own. */
export function filmOf(
  build: Build,
  view: View,
  cycles: number,
  frameRate: number,
  quality: Quality,
  seed: number,
): Clip {
  const swim = swimmer(build, cycles + 1, seed);
  const r = random(seed + 999_983);
  const start = build.cycleS * r.between(0.3, 0.9);
  const frames = Math.floor((swim.seconds - start) * frameRate);
  const times = Array.from({ length: frames }, (_, i) => start + i / frameRate);
  const poses = times.map(swim.poseAt);
  const film =
    view === '3d' ? filmInSpace(poses, quality, r) : filmFlat(view, poses, times, build, quality, r);
  const entryFrames = { left: entriesOf(poses, 'left'), right: entriesOf(poses, 'right') };
  // from overhead the entry must be marked; from the side above the water every other coach leaves it to the waterline
  const marked = view === 'overhead' || (view === 'side-above' && r.between(0, 1) < 0.5);
  return {
    build,
    film: marked ? { ...film, entryFrames } : film,
    frameRate,
    armLengthM: swim.armLength + r.normal(TAPE_M) * quality.cameraError,
  };
}

/** A swimmer and a film that both follow from the seed alone. */
export function drawClip(view: View, seed: number): Clip {
  const r = random(seed + 31_337);
  const quality: Quality = { noiseM: r.between(0.004, 0.01), missing: r.between(0, 0.05), cameraError: 1 };
  return filmOf(drawBuild(seed), view, r.between(4.5, 7), r.between(0, 1) < 0.5 ? 50 : 60, quality, seed);
}
