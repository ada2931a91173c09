/** What a measurable quantity is: one object per code, used by the answer, the refusals and the documents. */
import type { Pull } from './pulls.ts';
import type { Scene } from './scene.ts';
import type { Arm, BodySide, LandmarkView } from './types.ts';

/** What a quantity needs besides its points. */
export type Need = 'scale' | 'waterline' | 'cycle';

/** Values of one code on one side, before they become a mean with a standard deviation. */
export interface Reading {
  readonly side: BodySide;
  /** One value per cycle or stroke, in the unit of the code. */
  readonly values: readonly number[];
  /** Standard deviation of what is the same in every cycle: scale, camera, definition of the moment. Same unit. */
  readonly systematic: number;
  /** Variance of the mean against independent cycles; left out: 1. */
  readonly varianceFactor?: number;
  /** Further facts for the derivation. */
  readonly facts?: Readonly<Record<string, string | number | boolean | null>>;
}

/** The scene with its cycles and strokes. */
export interface Timing {
  /** Frames per arm cycle, fractional; undefined when fewer than two cycles were found. */
  readonly period?: number | undefined;
  readonly pulls: Readonly<Record<Arm, readonly Pull[]>>;
  readonly armLengthM?: number | undefined;
}

/** A code that can be measured from body points. */
export interface Quantity {
  readonly code: string;
  readonly unit: 'deg' | 'cm' | '% of reach' | 'beats/cycle';
  readonly views: readonly LandmarkView[];
  /** `*` stands for the side. A sided quantity needs the points of that side; a body quantity needs both. */
  readonly points: readonly string[];
  readonly sided: boolean;
  /** Its points leave the water, and a film under it, just at the moment that counts. */
  readonly leavesWater?: true;
  readonly needs: readonly Need[];
  /** Typical standard deviation from cycle to cycle with its digitising, weighed in when few cycles were seen. */
  readonly typicalSd: number;
  readonly formula: string;
  readonly source: string;
  readonly measure: (scene: Scene, timing: Timing, sides: readonly Arm[]) => Reading[];
}

/** Both arms, in the order of the answer. */
export const SIDES = ['left', 'right'] as const;
/** Centimetres of a metre. */
export const CM = 100;

/**
 * Cycle-to-cycle standard deviation within one film from a smallest believable change between two films of three cycles:
 * change = 1.96 sqrt(2) SEM. Half of that variance is taken to come from the cycles, half from setting up again (judgement).
 * Codes without a limit of their own take that of their kind: elbow and knee as the forearm, reach and mid-pull as the entry,
 * hips as the shoulders (judgement).
 * @param change in the unit of the code, from the rule set's change limits (judgement)
 * @returns standard deviation of one cycle, same unit
 */
export const fromBelievableChange = (change: number): number =>
  (change / (1.96 * Math.SQRT2)) * Math.sqrt(3 / 2);
