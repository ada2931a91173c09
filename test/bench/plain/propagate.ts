/** Damped belief propagation in decibans: the formulas of the method, one after the other. */
import type { Constants } from '../../../src/knowledge/parts.ts';
import type { Child, Network, Pair } from './network.ts';

export const probabilityOf = (db: number): number => 1 / (1 + 10 ** (-db / 10));
export const logOddsOf = (p: number): number => 10 * Math.log10(p / (1 - p));
/** What a report of likelihood ratio lambda is worth where the finding has chance s with the cause and g without. */
export const weightOf = (lambda: number, s: number, g: number): number =>
  10 * Math.log10((lambda * s + 1 - s) / (lambda * g + 1 - g));

export interface Inputs {
  /** dB of the reports on each finding, undefined where there is none; by index of the child. */
  readonly reports: readonly (number | undefined)[];
  /** Sum of the fixed lines of each node. */
  readonly fixed: readonly number[];
  /** False for a pair whose rule was tried and did not fire. */
  readonly active: readonly boolean[];
}

/** By index of the node or of the pair. */
export interface Beliefs {
  readonly method: 'propagation' | 'slow-propagation' | 'one-pass';
  readonly logOdds: number[];
  readonly base: number[];
  readonly passedUp: number[];
  readonly weight: number[];
  readonly factor: number[];
  readonly counted: number[];
  readonly without: number[];
  readonly background: number[];
  readonly seenIfCause: number[];
}

interface Options {
  readonly damping: number;
  readonly maxSweeps: number;
  readonly onePass: boolean;
}

const TIE_DB = 1e-6;

/** Of the two sides of one cause only the likelier counts. */
function likelier(list: readonly Pair[], without: readonly number[], { active }: Inputs): number {
  let best = 0;
  for (const { index, q } of list) if (active[index]) best = Math.max(best, q * without[index]!);
  return best;
}

function selectFactors(
  values: readonly number[],
  net: Network,
  inputs: Inputs,
  c: Constants['propagation'],
): number[] {
  const factor = net.pairs.map(() => 1);
  const twinsOf = (pair: Pair, list: readonly Pair[]): Pair[] =>
    c.ties === 'first'
      ? [pair]
      : list.filter(
          (other) =>
            other.child.code === pair.child.code &&
            Math.abs(values[other.index]! - values[pair.index]!) <= TIE_DB,
        );
  for (const sides of net.strongerSide) {
    const told = sides.filter(
      (pair) => values[pair.index] !== 0 || inputs.reports[pair.child.index] !== undefined,
    );
    if (told.length === 0) continue;
    const best = told.reduce((a, b) => (values[b.index]! > values[a.index]! + TIE_DB ? b : a));
    const tied = twinsOf(best, told);
    for (const pair of sides) factor[pair.index] = tied.includes(pair) ? 1 / tied.length : 0;
  }
  for (const group of net.groups) {
    for (const sign of [1, -1]) {
      let waiting = group.filter((pair) => factor[pair.index]! > 0 && values[pair.index]! * sign > 0);
      waiting.sort((a, b) => {
        const gap = Math.abs(values[b.index]!) - Math.abs(values[a.index]!);
        if (Math.abs(gap) > TIE_DB) return gap;
        return a.child.key < b.child.key ? -1 : 1;
      });
      let rank = 0;
      while (waiting.length > 0) {
        const twins = twinsOf(waiting[0]!, waiting);
        const places = Math.round(twins.reduce((sum, pair) => sum + factor[pair.index]!, 0));
        let counted = 0;
        for (let k = 0; k < places; k++) counted += c.groupDiscount ** (rank + k);
        for (const pair of twins) factor[pair.index] = counted / twins.length;
        rank += places;
        waiting = waiting.filter((pair) => !twins.includes(pair));
      }
    }
  }
  return factor;
}

function settle(net: Network, inputs: Inputs, c: Constants['propagation'], options: Options) {
  const zeros = (): number[] => net.pairs.map(() => 0);
  const beliefs: Omit<Beliefs, 'method' | 'factor'> & { factor: number[] } = {
    logOdds: net.nodes.map(() => 0),
    base: net.nodes.map(() => 0),
    passedUp: net.nodes.map(() => 0),
    weight: zeros(),
    factor: net.pairs.map(() => 1),
    counted: zeros(),
    without: net.pairs.map((pair) => pair.node.leak),
    background: zeros(),
    seenIfCause: zeros(),
  };
  const { logOdds, base, passedUp, weight, counted, without, background, seenIfCause } = beliefs;

  const sumUp = (): void => {
    for (const { index } of net.pairs) counted[index] = weight[index]! * beliefs.factor[index]!;
    for (const node of net.nodes) {
      let own = 0;
      for (const pair of node.children) own += counted[pair.index]!;
      let none = 1 - node.leak;
      for (const list of node.child?.rivals ?? []) none *= 1 - likelier(list, without, inputs);
      base[node.index] = 1 - none;
      passedUp[node.index] = own;
      logOdds[node.index] = logOddsOf(1 - none) + inputs.fixed[node.index]! + own;
    }
  };
  const reportOn = (child: Child): number =>
    child.mechanism === undefined ? (inputs.reports[child.index] ?? 0) : passedUp[child.mechanism.index]!;

  sumUp();
  // the first choice of sides and ranks: by each line alone, mechanisms bottom-up
  for (let round = 0; round < 3; round++) {
    for (const child of net.children) {
      const report = reportOn(child);
      const lambda = 10 ** (report / 10);
      for (const pair of child.pairs) {
        const quiet = report === 0 || !inputs.active[pair.index];
        weight[pair.index] = quiet ? 0 : weightOf(lambda, pair.shows, child.leak);
      }
    }
    beliefs.factor = selectFactors(weight, net, inputs, c);
    sumUp();
  }
  weight.fill(0);
  sumUp();
  if (options.onePass) {
    for (const { node, index } of net.pairs) {
      without[index] = probabilityOf(logOddsOf(base[node.index]!) + inputs.fixed[node.index]!);
    }
  }

  let residual = Number.POSITIVE_INFINITY;
  for (let attempt = 0; attempt < c.maxRuns; attempt++) {
    for (let sweep = 0; sweep < options.maxSweeps; sweep++) {
      sumUp();
      residual = 0;
      if (!options.onePass) {
        for (const { node, index } of net.pairs) {
          const next = probabilityOf(logOdds[node.index]! - counted[index]!);
          residual = Math.max(residual, Math.abs(next - without[index]!));
          without[index] = next;
        }
      }
      for (const child of net.children) {
        const report = reportOn(child);
        if (report === 0) {
          for (const { index } of child.pairs) weight[index] = 0;
          continue;
        }
        const lambda = 10 ** (report / 10);
        const misses = child.rivals.map((list) => 1 - likelier(list, without, inputs));
        let all = 1 - child.leak;
        for (const miss of misses) all *= miss;
        child.rivals.forEach((list, k) => {
          const noneElse = misses[k]! > 1e-9 ? all / misses[k]! : 0;
          for (const pair of list) {
            if (!inputs.active[pair.index]) continue;
            const g = 1 - noneElse;
            const s = 1 - noneElse * (1 - pair.q);
            background[pair.index] = g;
            seenIfCause[pair.index] = s;
            const change = weightOf(lambda, s, g) - weight[pair.index]!;
            residual = Math.max(residual, Math.abs(change));
            weight[pair.index] = weight[pair.index]! + (1 - options.damping) * change;
          }
        });
      }
      if (residual < c.toleranceDb) break;
    }
    sumUp();
    if (options.onePass || residual >= c.toleranceDb) break;
    const next = selectFactors(weight, net, inputs, c);
    if (next.every((f, i) => f === beliefs.factor[i] || weight[i] === 0)) break;
    if (attempt < c.maxRuns - 1) beliefs.factor = next;
  }
  sumUp();
  return { beliefs, settled: residual < c.toleranceDb };
}

export function propagate(net: Network, inputs: Inputs, c: Constants['propagation']): Beliefs {
  const { damping, maxSweeps, slowDamping, slowMaxSweeps } = c;
  const normal = settle(net, inputs, c, { damping, maxSweeps, onePass: false });
  if (normal.settled) return { ...normal.beliefs, method: 'propagation' };
  const slow = settle(net, inputs, c, { damping: slowDamping, maxSweeps: slowMaxSweeps, onePass: false });
  if (slow.settled) return { ...slow.beliefs, method: 'slow-propagation' };
  const once = settle(net, inputs, c, { damping, maxSweeps: 100, onePass: true });
  return { ...once.beliefs, method: 'one-pass' };
}

/** Chance that a child is there, from its causes alone. */
export function predicted(child: Child, { logOdds, counted }: Beliefs, { active }: Inputs): number {
  let none = 1 - child.leak;
  for (const list of child.rivals) {
    let best = 0;
    for (const pair of list) {
      if (!active[pair.index]) continue;
      best = Math.max(best, pair.q * probabilityOf(logOdds[pair.node.index]! - counted[pair.index]!));
    }
    none *= 1 - best;
  }
  return 1 - none;
}

/** The same with the reports on it. */
export function believed(share: number, reportDb: number): number {
  const lambda = 10 ** (reportDb / 10);
  return (lambda * share) / (lambda * share + 1 - share);
}
