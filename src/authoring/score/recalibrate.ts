/**
 * Logistic recalibration: logit P(named) = offset + intercept + slope * x. A slope under 1 says that the probabilities are
 * too sure, over 1 that they are too shy (Cox 1958, from memory). Both are drawn gently towards 0 and 1, so that a few
 * records with a perfect split give a finite answer.
 */

export interface Point {
  readonly offset: number;
  /** Log-odds that were given, natural units. */
  readonly x: number;
  readonly named: 0 | 1;
}

/** Standard deviations of the intercept about 0 and of the slope about 1. */
export interface Prior {
  readonly interceptSd: number;
  readonly slopeSd: number;
}

export interface Line {
  readonly intercept: number;
  readonly slope: number;
}

/** Slope and curvature of the log-likelihood of some points at a line; sums, so those of two sets add up. */
export interface Pull {
  readonly gradient: readonly [number, number];
  readonly curvature: readonly [number, number, number];
}

const MOST_STEPS = 60;
const SETTLED = 1e-10;

export function pullOf(points: readonly Point[], { intercept, slope }: Line): Pull {
  let [ga, gb, haa, hab, hbb] = [0, 0, 0, 0, 0];
  for (const { offset, x, named } of points) {
    const p = 1 / (1 + Math.exp(-(offset + intercept + slope * x)));
    const curve = p * (1 - p);
    ga += named - p;
    gb += (named - p) * x;
    haa += curve;
    hab += curve * x;
    hbb += curve * x * x;
  }
  return { gradient: [ga, gb], curvature: [haa, hab, hbb] };
}

/** One step of Newton's method on the penalised likelihood. */
export function step({ gradient, curvature }: Pull, { intercept, slope }: Line, prior: Prior): Line {
  const [wa, wb] = [prior.interceptSd ** -2, prior.slopeSd ** -2];
  const [ga, gb] = [gradient[0] - wa * intercept, gradient[1] - wb * (slope - 1)];
  const [haa, hab, hbb] = [curvature[0] + wa, curvature[1], curvature[2] + wb];
  const determinant = haa * hbb - hab * hab;
  return {
    intercept: intercept + (hbb * ga - hab * gb) / determinant,
    slope: slope + (haa * gb - hab * ga) / determinant,
  };
}

/** Log-loss with the pull of the prior. */
function loss(points: readonly Point[], { intercept, slope }: Line, prior: Prior): number {
  let total = (intercept / prior.interceptSd) ** 2 / 2 + ((slope - 1) / prior.slopeSd) ** 2 / 2;
  for (const { offset, x, named } of points) {
    const z = offset + intercept + slope * x;
    // ln(1 + e^z) without overflow
    total += Math.max(z, 0) + Math.log1p(Math.exp(-Math.abs(z))) - named * z;
  }
  return total;
}

/** The one optimum; a step that would make things worse is halved. */
export function recalibrate(points: readonly Point[], prior: Prior): Line {
  let line: Line = { intercept: 0, slope: 1 };
  let now = loss(points, line, prior);
  for (let i = 0; i < MOST_STEPS; i++) {
    const from = line;
    const to = step(pullOf(points, from), from, prior);
    for (let share = 1; share > 1e-6; share /= 2) {
      line = {
        intercept: from.intercept + share * (to.intercept - from.intercept),
        slope: from.slope + share * (to.slope - from.slope),
      };
      const next = loss(points, line, prior);
      if (next <= now) {
        now = next;
        break;
      }
    }
    if (Math.abs(line.intercept - from.intercept) + Math.abs(line.slope - from.slope) < SETTLED) break;
  }
  return line;
}
