/**
 * What a change of resistance or efficiency can at most be worth. Drag grows with speed to a power that methods do not
 * agree on, so the answer is an interval over it; and it is an upper bound, because a swimmer who changes one thing
 * changes others, and drag was measured in towing or with the arms alone.
 */
import type { WhatIf } from '../contract/raw-data.ts';
import { paceFrom } from './stroke.ts';

/** Exponents of drag on speed in print: 2 (square law) to 3.3 (Narita et al. 2017). */
export const EXPONENTS = [2, 3.3] as const;

export interface Ratios {
  /** Each as new over old; left out: unchanged. */
  readonly resistance?: number;
  readonly efficiency?: number;
  readonly power?: number;
}

/**
 * New speed over old: v2/v1 = [(e2/e1)(P2/P1)(K1/K2)]^(1/(n+1)), from v = (e P / K)^(1/(n+1)) (Toussaint & Beek 1992 for
 * n = 2).
 *
 * @param ratios each above zero
 * @param exponent n of drag = K v^n
 * @returns a ratio; at equal power for what is left out
 */
export function speedRatio({ resistance = 1, efficiency = 1, power = 1 }: Ratios, exponent: number): number {
  return ((efficiency * power) / resistance) ** (1 / (exponent + 1));
}

/** K of drag = K v^2 (Newton's drag law). @param drag N @param speed m/s, above zero @returns kg/m */
export const dragConstant = (drag: number, speed: number): number => drag / speed ** 2;

/**
 * Speed at which the power spent on drag is the power that drives: (P e / K)^(1/3) (Toussaint & Beek 1992).
 *
 * @param power W
 * @param efficiency share of the power that drives, 0 to 1
 * @param constant K of drag = K v^2, in kg/m
 * @returns m/s
 */
export const steadySpeed = (power: number, efficiency: number, constant: number): number =>
  ((power * efficiency) / constant) ** (1 / 3);

export interface Bound {
  readonly change: WhatIf['change'];
  readonly percent: number;
  /** s/100 m. */
  readonly pace: number;
  /** Seconds gained per 100 m, low and high end over the exponents; negative: lost. */
  readonly low: number;
  readonly high: number;
}

/**
 * Upper bound of what a change is worth, over the contested exponents (Toussaint et al. 1988, Narita et al. 2017).
 *
 * @param percent change of the resistance or of the efficiency, above -100
 * @param pace s/100 m that it starts from
 * @returns s/100 m gained; negative: lost
 */
export function worthOf(change: WhatIf['change'], percent: number, pace: number): Bound {
  const gains = EXPONENTS.map((n) => pace * (1 - 1 / speedRatio({ [change]: 1 + percent / 100 }, n)));
  const [low, high] = [Math.min(...gains), Math.max(...gains)];
  return { change, percent, pace, low, high };
}

/**
 * Answers each question as an upper bound (see {@link worthOf}).
 *
 * @param questions changes in percent, with or without a pace in s/100 m
 * @param speed measured speed in m/s, for questions without a pace of their own
 * @returns one bound per question that has a pace, in a fixed order
 */
export function measureWorth(questions: readonly WhatIf[], speed: number | undefined): Bound[] {
  return questions
    .flatMap(({ change, percent, paceSecondsPer100 }) => {
      const pace = paceSecondsPer100 ?? (speed === undefined ? undefined : paceFrom(speed));
      return pace === undefined ? [] : [worthOf(change, percent, pace)];
    })
    .sort((a, b) =>
      a.change < b.change ? -1 : a.change > b.change ? 1 : a.percent - b.percent || a.pace - b.pace,
    );
}
