/** Films of the forward model for tests, and what can be done to them that must not matter. */
import { measureLandmarks } from '../../../src/measure/landmarks/landmarks.ts';
import type {
  Coordinate,
  LandmarksAnswer,
  LandmarksContext,
  LandmarksInput,
} from '../../../src/measure/landmarks/types.ts';
import { drawBuild } from '../../forward-model/build.ts';
import { type Clip, filmOf, type Quality, type View } from '../../forward-model/film.ts';

export type Points = LandmarksInput['points'];

const CAREFUL: Quality = { noiseM: 0.004, missing: 0.01, cameraError: 1 };

/** A film of 4.5 cycles at 60 frames a second; `seed` draws the swimmer and the camera. */
export function clipOf(view: View, seed: number, frameRate = 60, quality: Quality = CAREFUL): Clip {
  return filmOf(drawBuild(seed), view, 4.5, frameRate, quality, seed);
}

export const answerOf = (film: LandmarksInput, context: Partial<LandmarksContext> = {}): LandmarksAnswer =>
  measureLandmarks(film, { frameRate: 60, armLengthM: 0.75, series: false, ...context });

/** Every point of every frame through a function; points that were not seen stay unseen. */
export function mapped(points: Points, change: (point: readonly number[]) => number[]): Points {
  return Object.fromEntries(
    Object.entries(points).map(([name, list]) => [
      name,
      list.map((point) => (point === null ? null : (change(point) as unknown as Coordinate))),
    ]),
  );
}

/** Only some of the points. */
export function withOnly(points: Points, keep: (name: string) => boolean): Points {
  return Object.fromEntries(Object.entries(points).filter(([name]) => keep(name)));
}

export interface Line {
  readonly key: string;
  readonly value: number;
  readonly standardDeviation: number;
}

export const linesOf = (answer: LandmarksAnswer): Line[] =>
  answer.measurements
    .map(({ code, side, value, standardDeviation }) => ({ key: `${code}|${side}`, value, standardDeviation }))
    .sort((a, b) => (a.key < b.key ? -1 : 1));

export function lineOf(answer: LandmarksAnswer, code: string, side = 'body'): Line {
  const found = linesOf(answer).find((l) => l.key === `${code}|${side}`);
  if (found === undefined) throw new Error(`no ${code} ${side}`);
  return found;
}

export const noteCodes = (answer: LandmarksAnswer): string[] => answer.notes.map((n) => n.code);
