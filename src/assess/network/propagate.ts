/**
 * Damped belief propagation in log-odds: every cause's log-odds is its prior plus fixed lines plus one counted
 * weight per child, and each counted weight can be checked by hand from the beliefs printed beside it.
 *
 * Which side of a pair of sides counts, and the rank of a line inside its group, are constants while the loop
 * runs and are revised only between runs; sorting inside the loop need not converge.
 */
import type { Constants } from '../../knowledge/parts.ts';
import { logOddsOf, probabilityOf, ratioOf, weightOfReport } from './decibans.ts';
import type { Child, Network, Node, Pair } from './network.ts';

export interface Inputs {
  /** dB of the reports on each child; 0 for not assessed. Entries of mechanisms are ignored. */
  readonly reportDb: Float64Array;
  /** 1 where the child has a report, even one that cancels out. */
  readonly assessed: Uint8Array;
  /** Sum of the fixed lines of each node. */
  readonly fixedDb: Float64Array;
  /** 1 where a pair may speak and rival; 0 where its rule was tried and did not fire. */
  readonly active: Uint8Array;
}

export interface Beliefs {
  readonly method: 'propagation' | 'slow-propagation' | 'one-pass';
  readonly sweeps: number;
  /** Log-odds of each node, not limited. */
  readonly logOddsDb: Float64Array;
  /** Chance of each node from its drivers alone. */
  readonly base: Float64Array;
  /** Evidence of a node's own children: the report that a mechanism passes up to its drivers. */
  readonly passedUpDb: Float64Array;
  /** Per pair: weight after explaining away, share counted, their product. */
  readonly weightDb: Float64Array;
  readonly factor: Float64Array;
  readonly countedDb: Float64Array;
  /** Per pair: belief in the parent without this child; chance of the child without and with the parent. */
  readonly without: Float64Array;
  readonly background: Float64Array;
  readonly seenIfCause: Float64Array;
}

type Ties = Constants['propagation']['ties'];
type Options = Pick<Constants['propagation'], 'groupDiscount' | 'toleranceDb' | 'maxRuns' | 'ties'> & {
  readonly damping: number;
  readonly maxSweeps: number;
  readonly onePass: boolean;
};

/** Weights closer than this differ by rounding only. */
const TIE_DB = 1e-6;

interface State extends Beliefs {
  residualDb: number;
}

function emptyState(net: Network): State {
  const perPair = (): Float64Array => new Float64Array(net.pairs.length);
  const perNode = (): Float64Array => new Float64Array(net.nodes.length);
  return {
    method: 'propagation',
    sweeps: 0,
    residualDb: Number.POSITIVE_INFINITY,
    logOddsDb: perNode(),
    base: perNode(),
    passedUpDb: perNode(),
    weightDb: perPair(),
    factor: perPair().fill(1),
    countedDb: perPair(),
    without: perPair(),
    background: perPair(),
    seenIfCause: perPair(),
  };
}

/** Of the two sides of one parent only the stronger counts towards a child. */
function strongestChance(
  list: readonly number[],
  net: Network,
  without: Float64Array,
  active: Uint8Array,
): number {
  let best = 0;
  for (const i of list) {
    if (active[i] === 0) continue;
    const chance = (net.pairs[i] as Pair).q * (without[i] as number);
    if (chance > best) best = chance;
  }
  return best;
}

function baseOf(node: Node, net: Network, without: Float64Array, active: Uint8Array): number {
  let none = 1 - node.leak;
  for (const list of node.drivers) none *= 1 - strongestChance(list, net, without, active);
  return 1 - none;
}

function sumUp(state: State, net: Network, inputs: Inputs): void {
  for (let i = 0; i < net.pairs.length; i++) {
    state.countedDb[i] = (state.weightDb[i] as number) * (state.factor[i] as number);
  }
  net.nodes.forEach((node, n) => {
    let fromChildren = 0;
    for (const i of node.children) fromChildren += state.countedDb[i] as number;
    state.base[n] = baseOf(node, net, state.without, inputs.active);
    state.passedUpDb[n] = fromChildren;
    state.logOddsDb[n] = logOddsOf(state.base[n] as number) + (inputs.fixedDb[n] as number) + fromChildren;
  });
}

/** Report on a child: from the record for a finding, from its own children for a mechanism. */
function reportOn(child: Child, c: number, state: State, inputs: Inputs): number {
  return (child.node >= 0 ? state.passedUpDb[child.node] : inputs.reportDb[c]) as number;
}

/** Pairs that say the same on both sides of the body: told apart by nothing but their names. */
function twinsOf(
  i: number,
  list: readonly number[],
  values: Float64Array,
  net: Network,
  ties: Ties,
): number[] {
  if (ties === 'first') return [i];
  return list.filter(
    (k) =>
      codeOf(net, k) === codeOf(net, i) && Math.abs((values[k] as number) - (values[i] as number)) <= TIE_DB,
  );
}

/**
 * Share of each pair that counts: the stronger side of a finding, and half for each further line of a group. Sides that
 * tie share one line evenly; to name one of them first would make left and right differ.
 */
function selectFactors(values: Float64Array, net: Network, inputs: Inputs, c: Options): Float64Array {
  const factor = new Float64Array(net.pairs.length).fill(1);
  for (const sides of net.strongerSide) {
    const told = sides.filter((i) => values[i] !== 0 || inputs.assessed[(net.pairs[i] as Pair).child] === 1);
    if (told.length === 0) continue;
    const best = told.reduce((a, b) => ((values[b] as number) > (values[a] as number) + TIE_DB ? b : a));
    const tied = twinsOf(best, told, values, net, c.ties);
    for (const i of sides) factor[i] = tied.includes(i) ? 1 / tied.length : 0;
  }
  for (const group of net.groups) {
    for (const sign of [1, -1]) {
      const waiting = group.filter((i) => (factor[i] as number) > 0 && (values[i] as number) * sign > 0);
      waiting.sort((x, y) => {
        const gap = Math.abs(values[y] as number) - Math.abs(values[x] as number);
        if (Math.abs(gap) > TIE_DB) return gap;
        return childKeyOf(net, x) < childKeyOf(net, y) ? -1 : 1;
      });
      let rank = 0;
      while (waiting.length > 0) {
        const twins = twinsOf(waiting[0] as number, waiting, values, net, c.ties);
        // twins that already share one line take one place in the ranks, two whole lines take two
        const places = Math.round(twins.reduce((sum, i) => sum + (factor[i] as number), 0));
        let counted = 0;
        for (let k = 0; k < places; k++) counted += c.groupDiscount ** (rank + k);
        for (const i of twins) factor[i] = counted / twins.length;
        rank += places;
        for (const i of twins) waiting.splice(waiting.indexOf(i), 1);
      }
    }
  }
  return factor;
}

function codeOf(net: Network, pair: number): string {
  return (net.children[(net.pairs[pair] as Pair).child] as Child).code;
}

function childKeyOf(net: Network, pair: number): string {
  return (net.children[(net.pairs[pair] as Pair).child] as Child).key;
}

/** One synchronous sweep over all children. @returns the largest change in dB. */
function sweep(state: State, net: Network, inputs: Inputs, damping: number): number {
  const { active } = inputs;
  let largest = 0;
  net.children.forEach((child, c) => {
    const report = reportOn(child, c, state, inputs);
    if (report === 0) {
      for (const list of child.rivals) {
        for (const i of list) {
          const w = state.weightDb[i] as number;
          if (w === 0) continue;
          largest = Math.max(largest, Math.abs(w));
          state.weightDb[i] = Math.abs(w * damping) < 1e-12 ? 0 : w * damping;
        }
      }
      return;
    }
    const lambda = ratioOf(report);
    const misses = child.rivals.map((list) => 1 - strongestChance(list, net, state.without, active));
    let all = 1 - child.leak;
    for (const miss of misses) all *= miss;
    child.rivals.forEach((list, k) => {
      const miss = misses[k] as number;
      const noneElse = miss > 1e-9 ? all / miss : 0;
      for (const i of list) {
        if (active[i] === 0) continue;
        const g = 1 - noneElse;
        const s = 1 - noneElse * (1 - (net.pairs[i] as Pair).q);
        state.background[i] = g;
        state.seenIfCause[i] = s;
        const change = weightOfReport(lambda, s, g) - (state.weightDb[i] as number);
        largest = Math.max(largest, Math.abs(change));
        state.weightDb[i] = (state.weightDb[i] as number) + (1 - damping) * change;
      }
    });
  });
  return largest;
}

/** First choice of sides and ranks: by the weights alone, as if there were no rivals; mechanisms bottom-up. */
function firstFactors(state: State, net: Network, inputs: Inputs, options: Options): void {
  for (let round = 0; round < 3; round++) {
    net.children.forEach((child, c) => {
      const report = reportOn(child, c, state, inputs);
      const lambda = ratioOf(report);
      for (const list of child.rivals) {
        for (const i of list) {
          const silent = report === 0 || inputs.active[i] === 0;
          state.weightDb[i] = silent ? 0 : weightOfReport(lambda, (net.pairs[i] as Pair).shows, child.leak);
        }
      }
    });
    state.factor.set(selectFactors(state.weightDb, net, inputs, options));
    sumUp(state, net, inputs);
  }
  state.weightDb.fill(0);
  sumUp(state, net, inputs);
}

function run(net: Network, inputs: Inputs, options: Options): State {
  const state = emptyState(net);
  net.pairs.forEach((pair, i) => {
    state.without[i] = (net.nodes[pair.node] as Node).leak;
  });
  firstFactors(state, net, inputs, options);
  if (options.onePass) {
    net.pairs.forEach(({ node }, i) => {
      state.without[i] = probabilityOf(
        logOddsOf(state.base[node] as number) + (inputs.fixedDb[node] as number),
      );
    });
  }
  let sweeps = 0;
  for (let attempt = 0; attempt < options.maxRuns; attempt++) {
    const limit = sweeps + options.maxSweeps;
    while (sweeps < limit) {
      sweeps++;
      sumUp(state, net, inputs);
      let moved = 0;
      if (!options.onePass) {
        net.pairs.forEach(({ node }, i) => {
          const next = probabilityOf((state.logOddsDb[node] as number) - (state.countedDb[i] as number));
          moved = Math.max(moved, Math.abs(next - (state.without[i] as number)));
          state.without[i] = next;
        });
      }
      // a chain of mechanisms passes its news on one link a sweep, with or without a line that changes
      state.residualDb = Math.max(moved, sweep(state, net, inputs, options.damping));
      if (state.residualDb < options.toleranceDb) break;
    }
    sumUp(state, net, inputs);
    if (options.onePass || state.residualDb >= options.toleranceDb) break;
    const next = selectFactors(state.weightDb, net, inputs, options);
    if (next.every((f, i) => f === state.factor[i] || state.weightDb[i] === 0)) break;
    // keep the last choice if it still flips: the trail adds up either way
    if (attempt < options.maxRuns - 1) state.factor.set(next);
  }
  sumUp(state, net, inputs);
  return Object.assign(state, { sweeps });
}

/**
 * @returns beliefs at the fixed point; if the loop does not settle, with stronger damping; if that does not
 * settle either, after one pass with every rival at its own prior. Never an unconverged number.
 */
export function propagate(net: Network, inputs: Inputs, c: Constants['propagation']): Beliefs {
  const options: Options = { ...c, onePass: false };
  const normal = run(net, inputs, options);
  if (normal.residualDb < c.toleranceDb) return normal;
  const slow = run(net, inputs, { ...options, damping: c.slowDamping, maxSweeps: c.slowMaxSweeps });
  if (slow.residualDb < c.toleranceDb) return { ...slow, method: 'slow-propagation' };
  const once = run(net, inputs, { ...options, onePass: true, maxSweeps: 100 });
  return { ...once, method: 'one-pass' };
}

/** Chance that a child is there, from its causes alone (the report on it left out). */
export function predicted(net: Network, beliefs: Beliefs, childIndex: number, active: Uint8Array): number {
  const child = net.children[childIndex] as Child;
  let none = 1 - child.leak;
  for (const list of child.rivals) {
    let best = 0;
    for (const i of list) {
      if (active[i] === 0) continue;
      const pair = net.pairs[i] as Pair;
      const p = probabilityOf((beliefs.logOddsDb[pair.node] as number) - (beliefs.countedDb[i] as number));
      best = Math.max(best, pair.q * p);
    }
    none *= 1 - best;
  }
  return 1 - none;
}

/** Chance that a child is there, all reports included. */
export function believed(predictedShare: number, reportDb: number): number {
  const lambda = ratioOf(reportDb);
  return (lambda * predictedShare) / (lambda * predictedShare + 1 - predictedShare);
}
