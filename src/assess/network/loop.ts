/**
 * The loop of the propagation. In here everything is an odds or a likelihood ratio, so that adding decibans is
 * multiplying and a sweep needs no logarithm. Only what the record speaks of is walked over: a child without a report
 * weighs nothing, and a node that no line reaches keeps its odds.
 */
import type { Constants } from '../../knowledge/parts.ts';
import { ratioOf } from './decibans.ts';
import { type Competing, competingOf, selectFactors } from './factors.ts';
import type { Network } from './network.ts';
import type { Inputs } from './propagate.ts';
import { type Tables, tablesOf } from './tables.ts';

export type Options = Pick<Constants['propagation'], 'groupDiscount' | 'toleranceDb' | 'maxRuns' | 'ties'> & {
  readonly damping: number;
  readonly maxSweeps: number;
  readonly onePass: boolean;
};

/** Where the loop stands: per pair or per node of the network. */
export interface State {
  /** Likelihood ratio of each pair after explaining away, the share of it that counts, and what is counted. */
  readonly ratio: Float64Array;
  readonly factor: Float64Array;
  readonly counted: Float64Array;
  /** Belief in the parent of each pair without its child. */
  readonly without: Float64Array;
  /** Chance that the child of each pair is not there although all its other causes are as likely as they are. */
  readonly noneElse: Float64Array;
  /** Chance of each node from its drivers alone, ratio of its own children, odds of all together. */
  readonly base: Float64Array;
  readonly passedUp: Float64Array;
  readonly odds: Float64Array;
}

/** What stays the same while the loop runs. */
export interface Setting {
  readonly net: Network;
  readonly t: Tables;
  readonly inputs: Inputs;
  /** Children with a report: findings of the record, and mechanisms that one of those speaks for. */
  readonly speaking: readonly number[];
  readonly spokenPairs: readonly number[];
  /** Pairs of speaking children and of all mechanisms: the only ones that can change a belief. */
  readonly livePairs: readonly number[];
  readonly liveNodes: readonly number[];
  readonly competing: Competing;
  /** Likelihood ratio of the report on each child, and of the fixed lines of each node. */
  readonly report: Float64Array;
  readonly fixed: Float64Array;
}

function pairsOf(t: Tables, children: readonly number[]): number[] {
  const pairs: number[] = [];
  for (const c of children) {
    const to = t.pairsOf[t.listsOf[c + 1] as number] as number;
    for (let k = t.pairsOf[t.listsOf[c] as number] as number; k < to; k++) pairs.push(t.pairs[k] as number);
  }
  return pairs;
}

/** Children that speak, by index: 1 for those. */
function speakersOf(t: Tables, { reportDb }: Inputs): { readonly speaking: number[]; readonly speaks: Uint8Array } {
  const speaking: number[] = [];
  const speaks = new Uint8Array(reportDb.length);
  const add = (c: number): void => {
    if (c < 0 || speaks[c] === 1) return;
    speaks[c] = 1;
    speaking.push(c);
  };
  for (let c = 0; c < reportDb.length; c++) {
    if (reportDb[c] !== 0 && (t.mechanism[c] as number) < 0) add(c);
  }
  // the list grows while it is read: what speaks for a mechanism makes the mechanism speak
  for (const c of speaking) {
    const to = t.pairsOf[t.listsOf[c + 1] as number] as number;
    for (let k = t.pairsOf[t.listsOf[c] as number] as number; k < to; k++) {
      add(t.childOfNode[t.node[t.pairs[k] as number] as number] as number);
    }
  }
  return { speaking, speaks };
}

export function settingOf(net: Network, inputs: Inputs): Setting {
  const t = tablesOf(net);
  const { speaking, speaks } = speakersOf(t, inputs);
  const spokenPairs = pairsOf(t, speaking);
  const livePairs = spokenPairs.concat(
    pairsOf(
      t,
      t.mechanisms.filter((c) => speaks[c] === 0),
    ),
  );
  const liveNodes: number[] = [];
  const live = new Uint8Array(net.nodes.length);
  const add = (n: number): void => {
    if (live[n] === 0) liveNodes.push(n);
    live[n] = 1;
  };
  for (const i of livePairs) add(t.node[i] as number);
  for (const c of t.mechanisms) add(t.mechanism[c] as number);
  const heard = inputs.assessed.slice();
  for (const c of speaking) heard[c] = 1;
  return {
    net,
    t,
    inputs,
    speaking,
    spokenPairs,
    livePairs,
    liveNodes,
    competing: competingOf(net, heard),
    report: ratiosOf(inputs.reportDb),
    fixed: ratiosOf(inputs.fixedDb),
  };
}

function ratiosOf(weightsDb: Float64Array): Float64Array {
  const ratios = new Float64Array(weightsDb.length).fill(1);
  for (let i = 0; i < ratios.length; i++) if (weightsDb[i] !== 0) ratios[i] = ratioOf(weightsDb[i] as number);
  return ratios;
}

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
function sumUp(state: State, { t, inputs, spokenPairs, liveNodes, fixed }: Setting): void {
  const { ratio, factor, counted, base, passedUp, odds } = state;
  for (const n of liveNodes) passedUp[n] = 1;
  for (const i of spokenPairs) {
    const share = factor[i] as number;
    const r = ratio[i] as number;
    const whole = share === 1 ? r : share === 0 ? 1 : r ** share;
    counted[i] = whole;
    const n = t.node[i] as number;
    passedUp[n] = (passedUp[n] as number) * whole;
  }
  for (const c of t.mechanisms)
    base[t.mechanism[c] as number] = 1 - noneOf(c, t, state.without, inputs.active);
  for (const n of liveNodes) {
    const b = base[n] as number;
    odds[n] = (b / (1 - b)) * (fixed[n] as number) * (passedUp[n] as number);
  }
}

function reportOn(c: number, state: State, { t, report }: Setting): number {
  const m = t.mechanism[c] as number;
  return (m < 0 ? report[c] : state.passedUp[m]) as number;
}

/**
 * One synchronous sweep over all lines.
 * @returns the largest change of a line, as a ratio of 1 or more.
 */
function sweep(state: State, setting: Setting, damping: number): number {
  const { t, inputs } = setting;
  const { ratio, without, noneElse } = state;
  const { active } = inputs;
  let largest = 1;
  for (const c of setting.speaking) {
    const lambda = reportOn(c, state, setting);
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
function separate({ without, odds, counted }: State, { t, livePairs }: Setting): number {
  let moved = 0;
  for (const i of livePairs) {
    const next = 1 / (1 + (counted[i] as number) / (odds[t.node[i] as number] as number));
    moved = Math.max(moved, Math.abs(next - (without[i] as number)));
    without[i] = next;
  }
  return moved;
}

/** First choice of sides and ranks: by the lines alone, as if there were no rivals; mechanisms bottom-up. */
function firstFactors(state: State, setting: Setting, options: Options): void {
  const { t, inputs, net } = setting;
  // only mechanisms hear something new in a second round
  const rounds = setting.speaking.some((c) => (t.mechanism[c] as number) >= 0) ? 3 : 1;
  for (let round = 0; round < rounds; round++) {
    for (const c of setting.speaking) {
      const lambda = reportOn(c, state, setting);
      const leak = t.leak[c] as number;
      for (const i of pairsOf(t, [c])) {
        const shows = t.shows[i] as number;
        state.ratio[i] =
          inputs.active[i] === 0 ? 1 : (lambda * shows + 1 - shows) / (lambda * leak + 1 - leak);
      }
    }
    selectFactors(state.factor, state.ratio, inputs.assessed, setting.competing, net, options);
    sumUp(state, setting);
  }
  for (const i of setting.spokenPairs) state.ratio[i] = 1;
  sumUp(state, setting);
}

function startOf({ net, t, fixed }: Setting): State {
  const ones = (length: number): Float64Array => new Float64Array(length).fill(1);
  const odds = t.restOdds.slice();
  for (let n = 0; n < odds.length; n++) odds[n] = (odds[n] as number) * (fixed[n] as number);
  return {
    ratio: ones(net.pairs.length),
    factor: ones(net.pairs.length),
    counted: ones(net.pairs.length),
    without: t.restOfParent.slice(),
    noneElse: ones(net.pairs.length),
    base: t.rest.slice(),
    passedUp: ones(net.nodes.length),
    odds,
  };
}

export interface Settled {
  readonly state: State;
  readonly sweeps: number;
  readonly converged: boolean;
}

export function settle(setting: Setting, options: Options): Settled {
  const { net, t, inputs, spokenPairs, livePairs, competing, fixed } = setting;
  const state = startOf(setting);
  firstFactors(state, setting, options);
  if (options.onePass) {
    for (const i of livePairs) {
      const n = t.node[i] as number;
      const b = state.base[n] as number;
      state.without[i] = 1 / (1 + (1 - b) / (b * (fixed[n] as number)));
    }
  }
  const enough = ratioOf(options.toleranceDb) - 1;
  const next = new Float64Array(net.pairs.length);
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
      sumUp(state, setting);
      const moved = options.onePass ? 0 : separate(state, setting);
      const change = sweep(state, setting, damping) - 1;
      if (change > before * options.damping) damping = options.damping;
      before = change;
      // a chain of mechanisms passes its news on one link a sweep, with or without a line that changes
      converged = change < enough && moved < options.toleranceDb;
    }
    if (options.onePass || !converged) break;
    selectFactors(next, state.ratio, inputs.assessed, competing, net, options);
    if (spokenPairs.every((i) => next[i] === state.factor[i] || state.ratio[i] === 1)) break;
    // keep the last choice if it still flips: the trail adds up either way
    if (attempt < options.maxRuns - 1) state.factor.set(next);
  }
  sumUp(state, setting);
  return { state, sweeps, converged };
}
