/** What a run of the loop starts from: the part of the network that the record speaks of. */
import { ratioOf } from './decibans.ts';
import { type Competing, competingOf } from './factors.ts';
import type { Network } from './network.ts';
import type { Inputs } from './propagate.ts';
import { type Tables, tablesOf } from './tables.ts';
import { type Workspace, workspaceOf } from './workspace.ts';

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
  readonly space: Workspace;
}

function pairsOf(t: Tables, children: readonly number[]): number[] {
  const pairs: number[] = [];
  for (const c of children) {
    const to = t.pairsOf[t.listsOf[c + 1] as number] as number;
    for (let k = t.pairsOf[t.listsOf[c] as number] as number; k < to; k++) pairs.push(t.pairs[k] as number);
  }
  return pairs;
}

/** @param heard is marked for each child that speaks. */
function speakersOf(t: Tables, { reportDb }: Inputs, heard: Uint8Array): number[] {
  const speaking: number[] = [];
  const add = (c: number): void => {
    if (c < 0 || heard[c] === 1) return;
    heard[c] = 1;
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
  return speaking;
}

/** Each number once, in the order in which it comes. @param seen is empty. */
function distinct(numbers: Iterable<number>, seen: Uint8Array): number[] {
  const once: number[] = [];
  for (const n of numbers) {
    if (seen[n] === 0) once.push(n);
    seen[n] = 1;
  }
  return once;
}

function fillRatios(ratios: Float64Array, weightsDb: Float64Array): void {
  for (let i = 0; i < ratios.length; i++) {
    ratios[i] = weightsDb[i] === 0 ? 1 : ratioOf(weightsDb[i] as number);
  }
}

export function settingOf(net: Network, inputs: Inputs): Setting {
  const t = tablesOf(net);
  const space = workspaceOf(t);
  const { heard, live } = space;
  heard.fill(0);
  live.fill(0);
  const speaking = speakersOf(t, inputs, heard);
  const spokenPairs = pairsOf(t, speaking);
  const silent = t.mechanisms.filter((c) => heard[c] === 0);
  const livePairs = spokenPairs.concat(pairsOf(t, silent));
  const parents = livePairs.map((i) => t.node[i] as number);
  const driven = t.mechanisms.map((c) => t.mechanism[c] as number);
  for (let c = 0; c < heard.length; c++) if (inputs.assessed[c] === 1) heard[c] = 1;
  fillRatios(space.report, inputs.reportDb);
  fillRatios(space.fixed, inputs.fixedDb);
  return {
    net,
    t,
    inputs,
    speaking,
    spokenPairs,
    livePairs,
    liveNodes: distinct(parents.concat(driven), live),
    competing: competingOf(net, heard),
    space,
  };
}
