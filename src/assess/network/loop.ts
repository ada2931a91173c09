/**
 * The loop of the propagation. In here everything is an odds or a likelihood ratio, so that adding decibans is
 * multiplying and a sweep needs no logarithm. Only what the record speaks of is walked over: a child without a report
 * weighs nothing, and a node that no line reaches keeps its odds.
 */
import type { Constants } from '../../knowledge/parts.ts';
import { ratioOf } from './decibans.ts';
import { selectFactors } from './factors.ts';
import type { Setting } from './setting.ts';
import type { Tables } from './tables.ts';
import { clear } from './workspace.ts';

export type Options = Pick<Constants['propagation'], 'groupDiscount' | 'toleranceDb' | 'maxRuns' | 'ties'> & {
  readonly damping: number;
  readonly maxSweeps: number;
  readonly onePass: boolean;
};

/** Of the two sides of one parent only the stronger counts towards a child. */
function chanceOf(list: number, t: Tables, without: Float64Array, active: Uint8Array): number {
  let best = 0;
  for (let k = t.pairsOf[list] as number; k < (t.pairsOf[list + 1] as number); k++) {
    const i = t.pairs[k] as number;
    if (active[i] === 0) continue;
    const chance = (t.q[i] as number) * (without[i] as number);
    if (chance > best) best = chance;
  }
  return best;
}

/** Chance that a child is not there, neither by itself nor by any of its causes. */
function noneOf(c: number, t: Tables, without: Float64Array, active: Uint8Array): number {
  let none = 1 - (t.leak[c] as number);
  for (let l = t.listsOf[c] as number; l < (t.listsOf[c + 1] as number); l++) {
    none *= 1 - chanceOf(l, t, without, active);
  }
  return none;
}

/** Odds of all nodes from the lines as they are. */
function sumUp({ t, inputs, spokenPairs, liveNodes, space }: Setting): void {
  const { ratio, factor, counted, without, base, fixed, passedUp, odds } = space;
  for (const n of liveNodes) passedUp[n] = 1;
  for (const i of spokenPairs) {
    const share = factor[i] as number;
    const r = ratio[i] as number;
    const whole = share === 1 ? r : share === 0 ? 1 : r ** share;
    counted[i] = whole;
    const n = t.node[i] as number;
    passedUp[n] = (passedUp[n] as number) * whole;
  }
  for (const c of t.mechanisms) base[t.mechanism[c] as number] = 1 - noneOf(c, t, without, inputs.active);
  for (const n of liveNodes) {
    const b = base[n] as number;
    odds[n] = (b / (1 - b)) * (fixed[n] as number) * (passedUp[n] as number);
  }
}

function reportOn(c: number, { t, space }: Setting): number {
  const m = t.mechanism[c] as number;
  return (m < 0 ? space.report[c] : space.passedUp[m]) as number;
}

/**
 * One synchronous sweep over all lines.
 * @returns the largest change of a line, as a ratio of 1 or more.
 */
function sweep(setting: Setting, damping: number): number {
  const { t, inputs } = setting;
  const { ratio, without, noneElse } = setting.space;
  const { active } = inputs;
  let largest = 1;
  for (const c of setting.speaking) {
    const lambda = reportOn(c, setting);
    const none = noneOf(c, t, without, active);
    const to = t.listsOf[c + 1] as number;
    for (let l = t.listsOf[c] as number; l < to; l++) {
      const miss = 1 - chanceOf(l, t, without, active);
      const others = miss > 1e-9 ? none / miss : 0;
      for (let k = t.pairsOf[l] as number; k < (t.pairsOf[l + 1] as number); k++) {
        const i = t.pairs[k] as number;
        if (active[i] === 0) continue;
        noneElse[i] = others;
        const missed = others * (1 - (t.q[i] as number));
        const next = lambda === 1 ? 1 : (lambda * (1 - missed) + missed) / (lambda * (1 - others) + others);
        const now = ratio[i] as number;
        const change = next > now ? next / now : now / next;
        if (change > largest) largest = change;
        ratio[i] = now + (1 - damping) * (next - now);
      }
    }
  }
  return largest;
}

/** Belief in each live parent without its child. @returns the largest change. */
function separate({ t, livePairs, space: { without, odds, counted } }: Setting): number {
  let moved = 0;
  for (const i of livePairs) {
    const next = 1 / (1 + (counted[i] as number) / (odds[t.node[i] as number] as number));
    moved = Math.max(moved, Math.abs(next - (without[i] as number)));
    without[i] = next;
  }
  return moved;
}

/** First choice of sides and ranks: by the lines alone, as if there were no rivals; mechanisms bottom-up. */
function firstFactors(setting: Setting, options: Options): void {
  const { t, inputs, net, space } = setting;
  // only mechanisms hear something new in a second round
  const rounds = setting.speaking.some((c) => (t.mechanism[c] as number) >= 0) ? 3 : 1;
  for (let round = 0; round < rounds; round++) {
    for (const c of setting.speaking) {
      const lambda = reportOn(c, setting);
      const leak = t.leak[c] as number;
      const to = t.pairsOf[t.listsOf[c + 1] as number] as number;
      for (let k = t.pairsOf[t.listsOf[c] as number] as number; k < to; k++) {
        const i = t.pairs[k] as number;
        const shows = t.shows[i] as number;
        space.ratio[i] =
          inputs.active[i] === 0 ? 1 : (lambda * shows + 1 - shows) / (lambda * leak + 1 - leak);
      }
    }
    selectFactors(space.factor, space.ratio, inputs.assessed, setting.competing, net, options);
    sumUp(setting);
  }
  for (const i of setting.spokenPairs) space.ratio[i] = 1;
  sumUp(setting);
}

/** Every rival at what it is without any child: no loop, and one sweep is enough. */
function fixRivals({ t, livePairs, space: { base, fixed, without } }: Setting): void {
  for (const i of livePairs) {
    const n = t.node[i] as number;
    const b = base[n] as number;
    without[i] = 1 / (1 + (1 - b) / (b * (fixed[n] as number)));
  }
}

export interface Settled {
  readonly sweeps: number;
  readonly converged: boolean;
}

/** Runs the loop; what it comes to stands in the workspace of the setting. */
export function settle(setting: Setting, options: Options): Settled {
  const { net, t, inputs, spokenPairs, competing, space } = setting;
  clear(space, t);
  firstFactors(setting, options);
  if (options.onePass) fixRivals(setting);
  const enough = ratioOf(options.toleranceDb) - 1;
  let converged = false;
  let sweeps = 0;
  for (let attempt = 0; attempt < options.maxRuns; attempt++) {
    const limit = sweeps + options.maxSweeps;
    // while each change is small beside the one before, damping would only slow the loop down
    let damping = 0;
    let before = Number.POSITIVE_INFINITY;
    converged = false;
    while (sweeps < limit && !converged) {
      sweeps++;
      sumUp(setting);
      const moved = options.onePass ? 0 : separate(setting);
      const change = sweep(setting, damping) - 1;
      if (change > before * options.damping) damping = options.damping;
      before = change;
      // a chain of mechanisms passes its news on one link a sweep, with or without a line that changes
      converged = change < enough && moved < options.toleranceDb;
    }
    if (options.onePass || !converged) break;
    const { factor, nextFactor, ratio } = space;
    selectFactors(nextFactor, ratio, inputs.assessed, competing, net, options);
    if (spokenPairs.every((i) => nextFactor[i] === factor[i] || ratio[i] === 1)) break;
    // keep the last choice if it still flips: the trail adds up either way
    if (attempt < options.maxRuns - 1) factor.set(nextFactor);
  }
  sumUp(setting);
  return { sweeps, converged };
}
