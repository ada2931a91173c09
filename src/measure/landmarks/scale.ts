/** Metres per unit of the input, and how sure that is. */
import { linearRegression, median, quantileSorted } from 'simple-statistics';
import { isEndOn } from './axes.ts';
import type { Coordinate, LandmarksInput } from './types.ts';

/** Metres per unit of the input, over time. */
export interface Scale {
  /** Metres per unit in frame i. */
  readonly at: (frame: number) => number;
  /** Relative standard deviation of a length in the calibrated plane. */
  readonly relativeSd: number;
  /** False: only a rough size from the body itself, good for finding movements and angles, never for a length. */
  readonly known: boolean;
  readonly source: string;
}

/** 2 m known to 5 mm and seen to 2 of 412 px is 0.55 %; doubled for a rod that is not quite in the lane (judgement). */
const RULER_SD = 0.01;
/** A body segment as ruler is seldom square to the camera: 14 degrees out of plane are 3 % (cosine; judgement). */
const SEGMENT_SD = 0.03;
/** Action cameras under water, calibrated with a wand: 1.2-1.9 mm in half a metre (ISBS 2014). */
const WAND_SD = 0.003;

/** Typical lengths in metres (shares of a height of 1.75 m, Winter, Biomechanics and Motor Control, 4th ed., ch. 4). */
const TYPICAL: readonly (readonly [string, string, number])[] = [
  ['shoulder', 'hip', 0.5],
  ['hip', 'knee', 0.43],
  ['knee', 'ankle', 0.43],
  ['shoulder', 'elbow', 0.33],
  ['elbow', 'wrist', 0.26],
];

function distances(a: readonly (Coordinate | null)[], b: readonly (Coordinate | null)[]): number[] {
  return Array.from({ length: Math.min(a.length, b.length) }, (_, i) => {
    const [p, q] = [a[i], b[i]];
    if (!p || !q) return Number.NaN;
    return Math.hypot(p[0] - q[0], p[1] - q[1], (p[2] ?? 0) - (q[2] ?? 0));
  });
}

const finite = (values: readonly number[]): number[] => values.filter((v) => Number.isFinite(v) && v > 0);
const upper = (values: readonly number[]): number =>
  quantileSorted(
    [...values].sort((x, y) => x - y),
    0.9,
  );

function roughScale(input: LandmarksInput): number | undefined {
  for (const [from, to, metres] of TYPICAL) {
    const seen = (['left', 'right'] as const).flatMap((side) =>
      finite(distances(input.points[`${side}-${from}`] ?? [], input.points[`${side}-${to}`] ?? [])),
    );
    if (seen.length >= 10) return metres / upper(seen);
  }
  const shoulders = finite(
    distances(input.points['left-shoulder'] ?? [], input.points['right-shoulder'] ?? []),
  );
  return shoulders.length >= 10 ? 0.34 / upper(shoulders) : undefined;
}

/** Seen from the front or the rear the size changes with distance: 1 / size is a straight line at steady speed. */
function changingScale(seen: readonly number[], metres: number): (frame: number) => number {
  const pairs = seen.flatMap((size, frame) => (size > 0 ? [[frame, metres / size]] : []));
  const { m, b } = linearRegression(pairs);
  return (frame) => b + m * frame;
}

/**
 * @returns the scale; undefined when there is nothing to go by or the calibration points are missing
 */
export function scaleOf(input: LandmarksInput): Scale | undefined {
  if (input.unit !== 'px') {
    const metres = input.unit === 'mm' ? 0.001 : 1;
    const relativeSd = input.view === '3d' ? WAND_SD : RULER_SD;
    return { at: () => metres, relativeSd, known: true, source: `unit ${input.unit}` };
  }
  if (input.pixelsPerMetre !== undefined && input.pixelsPerMetre > 0) {
    const metres = 1 / input.pixelsPerMetre;
    return { at: () => metres, relativeSd: RULER_SD, known: true, source: 'pixelsPerMetre' };
  }
  if (input.calibration) {
    const { from, to, metres } = input.calibration;
    const seen = distances(input.points[from] ?? [], input.points[to] ?? []);
    const sizes = finite(seen);
    const isBody = /^(left|right)-/.test(from) && /^(left|right)-/.test(to);
    const source = `calibration ${from} to ${to}`;
    if (sizes.length >= 10 && isEndOn(input.view))
      return { at: changingScale(seen, metres), relativeSd: RULER_SD, known: true, source };
    if (sizes.length > 0) {
      const size = isBody ? upper(sizes) : median(sizes);
      return { at: () => metres / size, relativeSd: isBody ? SEGMENT_SD : RULER_SD, known: true, source };
    }
  }
  const rough = roughScale(input);
  return rough === undefined
    ? undefined
    : { at: () => rough, relativeSd: 0.1, known: false, source: 'typical body size' };
}
