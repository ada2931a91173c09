/** What the messages say. One place, so that the words can be changed without touching a calculation. */
import type { LandmarkMessage, LandmarkView } from './types.ts';

export const VIEW_WORDS: Record<LandmarkView, string> = {
  'side-under': 'from the side under water',
  'side-above': 'from the side above water',
  'front-under': 'from the front under water',
  rear: 'from the rear',
  overhead: 'from overhead',
  '3d': 'in three dimensions',
};

const list = (items: readonly string[]): string =>
  items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} or ${items.at(-1)}`;

const percent = (share: number): string => `${Math.round(100 * share)} %`;

export const TEXTS = {
  'view-cannot-show': (words: string, view: LandmarkView, better: readonly LandmarkView[]) =>
    `A film ${VIEW_WORDS[view]} cannot show ${words}. Film ${list(better.map((v) => VIEW_WORDS[v]))}.`,
  'points-missing': (words: string, points: readonly string[]) =>
    `For ${words} these points are needed too: ${points.join(', ')}.`,
  'scale-needed': (words: string) =>
    `For ${words} a scale is needed: pixelsPerMetre, or calibration with two points a known distance apart.`,
  'waterline-needed': (words: string) => `For ${words} the water surface is needed: waterlineY.`,
  'arm-length-needed': (words: string) => `For ${words} the arm length is needed: armLengthM.`,
  'entry-needed': (words: string) =>
    `For ${words} the frames of hand entry are needed: this view does not show when the hand touches the water.`,
  'cycles-needed': (words: string) =>
    `For ${words} at least two whole arm cycles with the arms in sight are needed.`,
  'not-found': (words: string) =>
    `The moment for ${words} was not found: the points are missing there or the stroke is cut off.`,
  'one-cycle': (words: string) =>
    `Only one stroke was seen for ${words}; the standard deviation rests on what is usual from stroke to stroke.`,
  'sides-swapped': () =>
    'The left and right shoulders are on the wrong sides for this view. Check the names of the points, the view and whether the picture is mirrored.',
  'heading-wrong': () =>
    'The hips are ahead of the shoulders for the heading given. Check the heading and the names of the points.',
  'no-orientation': () =>
    'Neither a heading nor enough points of the body were given to tell size and direction of swimming.',
  'px-in-3d': () => 'Three-dimensional points must be in metres or millimetres.',
  'lengths-differ': () =>
    'The lists of points have different lengths. Give one item per frame for every point.',
  'frame-rate-low': (frameRate: number) =>
    `${frameRate} frames a second are few for an arm stroke: fast movements are flattened. Film with 50 or more.`,
  'size-changes': (share: number) =>
    `The swimmer changes size in the picture by ${percent(share)}, so one scale does not hold for all frames. Give calibration with both shoulders instead.`,
  'segment-length-varies': (segment: string, share: number) =>
    `The length of the ${segment} varies by ${percent(share)} (standard deviation); up to 5 % is usual. Look for jumps or swapped points.`,
  'calibration-missing': () =>
    'The calibration points were not found among the points; lengths are left out.',
} as const;

export type MessageCode = keyof typeof TEXTS;

export function message(
  code: MessageCode,
  severity: LandmarkMessage['severity'],
  about: LandmarkMessage['about'],
  text: string,
): LandmarkMessage {
  return { severity, code, about, text };
}
