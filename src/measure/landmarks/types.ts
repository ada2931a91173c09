/**
 * What goes into and comes out of the landmark measurements.
 *
 * Axes of the input, by `view` and `unit`:
 * - `px`: picture axes, x to the right, y DOWN.
 * - `mm`, `m` in a 2D view: x to the right of the picture, y UP.
 * - `3d` (`mm` or `m` only): x in the swimming direction, y to the swimmer's left, z up; a right-handed frame.
 * - A side camera shows forward and up; a front or rear camera shows left and up; an overhead camera shows forward and
 *   left. In a picture from the front the swimmer's left is on the right, from the rear on the left. From overhead the
 *   swimmer's left is at the top of the picture when the swimmer swims to the right.
 */

export type LandmarkView = 'side-under' | 'side-above' | 'front-under' | 'rear' | 'overhead' | '3d';
export type Arm = 'left' | 'right';
export type BodySide = Arm | 'body';
/** x and y, or x, y and z, in the unit of the input. */
export type Coordinate = readonly [number, number] | readonly [number, number, number];

/** Names are `left-` or `right-` with shoulder, elbow, wrist, hand (tip of the middle finger), hip, knee, ankle, heel,
 * eye (joint centres where there is a joint), and crown, chin (base of the chin), seat (top of the buttocks). Other
 * names are kept for `calibration`, such as the two ends of a rod. */
export interface LandmarksInput {
  readonly view: LandmarkView;
  readonly unit: 'px' | 'mm' | 'm';
  /** Scale at the swimmer's midline, for `px` only. */
  readonly pixelsPerMetre?: number | undefined;
  /** Two tracked points a known distance apart; used for `px` when `pixelsPerMetre` is left out. */
  readonly calibration?: { readonly from: string; readonly to: string; readonly metres: number } | undefined;
  /** Which way the swimmer swims in the picture (side and overhead). Left out: from head and hips. */
  readonly heading?: Arm | undefined;
  /** The arm nearer to a side camera. */
  readonly nearSide?: Arm | undefined;
  /** Where the water surface is, in the unit and direction of the vertical axis of the input (y; z for `3d`). */
  readonly waterlineY?: number | undefined;
  /** Frames (from 0) of the hands' entries, for views that do not show them, such as overhead. */
  readonly entryFrames?:
    | { readonly left?: readonly number[]; readonly right?: readonly number[] }
    | undefined;
  /** One list per point, one item per frame; null where the point was not seen. */
  readonly points: Readonly<Record<string, readonly (Coordinate | null)[]>>;
}

/** What is known besides the points. */
export interface LandmarksContext {
  /** Frames per second, positive. */
  readonly frameRate: number;
  /** Shoulder joint to tip of the middle finger. */
  readonly armLengthM?: number | undefined;
  readonly series: boolean;
}

export type Derivation = Readonly<Record<string, string | number | boolean | null>>;

/** One value in the codes and units of the rule set, with its error and where it comes from. */
export interface LandmarkMeasurement {
  readonly code: string;
  readonly side: BodySide;
  readonly value: number;
  readonly unit: string;
  readonly standardDeviation: number;
  readonly derivation: Derivation;
}

/** Something to tell the coach; the words stand in the language file under `measure-` and the code. */
export interface LandmarkNote {
  readonly severity: 'info' | 'warning';
  readonly code: string;
  readonly about: { readonly code?: string; readonly side?: Arm; readonly view?: LandmarkView };
  /** Codes of the quantities that it is about. */
  readonly quantities?: readonly string[];
  /** Views that would show them. */
  readonly better?: readonly { readonly view: LandmarkView; readonly codes: readonly string[] }[];
  /** Figures and names for the sentence. */
  readonly values?: Readonly<Record<string, string>>;
}

/** What body points give. */
export interface LandmarksAnswer {
  readonly measurements: LandmarkMeasurement[];
  /** Angles in degrees, frame by frame; null where a point is missing. */
  readonly series: Record<string, (number | null)[]>;
  readonly notes: LandmarkNote[];
}
