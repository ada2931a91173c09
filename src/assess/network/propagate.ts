/**
 * Damped belief propagation in log-odds: every cause's log-odds is its prior plus fixed lines plus one counted
 * weight per child, and each counted weight can be checked by hand from the beliefs printed beside it.
 *
 * Which side of a pair of sides counts, and the rank of a line inside its group, are constants while the loop
 * runs and are revised only between runs; sorting inside the loop need not converge.
 */
import type { Constants } from '../../knowledge/parts.ts';
import { db, logOddsOf, probabilityOf, ratioOf } from './decibans.ts';
import { settle } from './loop.ts';
import type { Child, Network, Pair } from './network.ts';
import { type Setting, settingOf } from './setting.ts';

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

/** Arrays in one piece of memory, which costs a third of getting each by itself. */
function arraysOf(number: number, length: number): Float64Array[] {
  const all = new Float64Array(number * length);
  return Array.from({ length: number }, (_, k) => all.subarray(k * length, (k + 1) * length));
}

/** What the loop came to, in decibans, for the whole network; every total is the sum of its lines. */
function beliefsOf({ net, t, inputs, spokenPairs, livePairs, space }: Setting, outcome: Outcome): Beliefs {
  const [weightDb, factor, countedDb, without, background, seenIfCause] = arraysOf(
    6,
    net.pairs.length,
  ) as Six;
  const [logOddsDb, base, passedUpDb] = arraysOf(3, net.nodes.length) as Three;
  factor.set(space.factor);
  base.set(space.base);
  for (let i = 0; i < without.length; i++) {
    const odds = space.odds[t.node[i] as number] as number;
    without[i] = odds / (1 + odds);
  }
  for (const i of livePairs) without[i] = space.without[i] as number;
  for (const i of spokenPairs) {
    if (inputs.active[i] === 0) continue;
    const n = t.node[i] as number;
    const none = space.noneElse[i] as number;
    const weight = db(space.ratio[i] as number);
    const counted = weight * (factor[i] as number);
    weightDb[i] = weight;
    countedDb[i] = counted;
    passedUpDb[n] = (passedUpDb[n] as number) + counted;
    background[i] = 1 - none;
    seenIfCause[i] = 1 - none * (1 - (t.q[i] as number));
  }
  for (let n = 0; n < base.length; n++) {
    logOddsDb[n] = logOddsOf(base[n] as number) + (inputs.fixedDb[n] as number) + (passedUpDb[n] as number);
  }
  return {
    ...outcome,
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

type Three = [Float64Array, Float64Array, Float64Array];
type Six = [...Three, ...Three];
type Outcome = Pick<Beliefs, 'method' | 'sweeps'>;

function settleSomehow(setting: Setting, c: Constants['propagation']): Outcome {
  const normal = settle(setting, { ...c, onePass: false });
  if (normal.converged) return { method: 'propagation', sweeps: normal.sweeps };
  const slow = { ...c, damping: c.slowDamping, maxSweeps: c.slowMaxSweeps, onePass: false };
  const slowly = settle(setting, slow);
  if (slowly.converged) return { method: 'slow-propagation', sweeps: slowly.sweeps };
  return { method: 'one-pass', sweeps: settle(setting, { ...c, maxSweeps: 100, onePass: true }).sweeps };
}

/**
 * @returns beliefs at the fixed point; if the loop does not settle, with stronger damping; if that does not
 * settle either, after one pass with every rival at its own prior. Never an unconverged number.
 */
export function propagate(net: Network, inputs: Inputs, c: Constants['propagation']): Beliefs {
  const setting = settingOf(net, inputs);
  return beliefsOf(setting, settleSomehow(setting, c));
}

/** Log-odds of some nodes in dB, without the lines behind them: all that a "what if" asks for. */
export function totalsDb(
  nodes: readonly number[],
  net: Network,
  inputs: Inputs,
  c: Constants['propagation'],
): number[] {
  const setting = settingOf(net, inputs);
  settleSomehow(setting, c);
  return nodes.map((n) => db(setting.space.odds[n] as number));
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
