/**
 * Damped belief propagation in log-odds: every cause's log-odds is its prior plus fixed lines plus one counted
 * weight per child, and each counted weight can be checked by hand from the beliefs printed beside it.
 *
 * Which side of a pair of sides counts, and the rank of a line inside its group, are constants while the loop
 * runs and are revised only between runs; sorting inside the loop need not converge.
 */
import type { Constants } from '../../knowledge/parts.ts';
import { db, logOddsOf, probabilityOf, ratioOf } from './decibans.ts';
import { type Setting, type Settled, settingOf, settle } from './loop.ts';
import type { Child, Network, Pair } from './network.ts';

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

/** The state of the loop in decibans, whatever it walked over; every total is the sum of its lines. */
function beliefsOf({ state, sweeps }: Settled, setting: Setting, method: Beliefs['method']): Beliefs {
  const { net, t, inputs, spokenPairs } = setting;
  const { factor, without, base, odds } = state;
  const perPair = (): Float64Array => new Float64Array(net.pairs.length);
  const [weightDb, countedDb, background, seenIfCause] = [perPair(), perPair(), perPair(), perPair()];
  const passedUpDb = new Float64Array(net.nodes.length);
  for (const i of spokenPairs) {
    if (inputs.active[i] === 0) continue;
    const weight = db(state.ratio[i] as number);
    const n = t.node[i] as number;
    weightDb[i] = weight;
    countedDb[i] = weight * (factor[i] as number);
    passedUpDb[n] = (passedUpDb[n] as number) + (countedDb[i] as number);
    background[i] = 1 - (state.noneElse[i] as number);
    seenIfCause[i] = 1 - (state.noneElse[i] as number) * (1 - (t.q[i] as number));
  }
  const silent = new Uint8Array(net.pairs.length).fill(1);
  for (const i of setting.livePairs) silent[i] = 0;
  for (let i = 0; i < silent.length; i++) {
    const o = odds[t.node[i] as number] as number;
    if (silent[i] === 1) without[i] = o / (1 + o);
  }
  const logOddsDb = base.map(
    (b, n) => logOddsOf(b) + (inputs.fixedDb[n] as number) + (passedUpDb[n] as number),
  );
  return {
    method,
    sweeps,
    logOddsDb,
    base,
    passedUpDb,
    weightDb,
    factor,
    countedDb,
    without,
    background,
    seenIfCause,
  };
}

/**
 * @returns beliefs at the fixed point; if the loop does not settle, with stronger damping; if that does not
 * settle either, after one pass with every rival at its own prior. Never an unconverged number.
 */
export function propagate(net: Network, inputs: Inputs, c: Constants['propagation']): Beliefs {
  const setting = settingOf(net, inputs);
  const normal = settle(setting, { ...c, onePass: false });
  if (normal.converged) return beliefsOf(normal, setting, 'propagation');
  const slow = { ...c, damping: c.slowDamping, maxSweeps: c.slowMaxSweeps, onePass: false };
  const slowly = settle(setting, slow);
  if (slowly.converged) return beliefsOf(slowly, setting, 'slow-propagation');
  return beliefsOf(settle(setting, { ...c, maxSweeps: 100, onePass: true }), setting, 'one-pass');
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
