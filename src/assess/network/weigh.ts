/** Puts the findings and the evidence of one record into the network and lets it settle. */
import type { Level } from '../../contract/common.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Evidence } from '../evidence.ts';
import { type Findings, keyOf } from '../findings.ts';
import { remembered } from '../remembered.ts';
import { type Child, type Network, networkOf, type Pair } from './network.ts';
import { type Beliefs, type Inputs, propagate, totalsDb } from './propagate.ts';

export interface Weighed {
  readonly findings: Findings;
  readonly network: Network;
  readonly inputs: Inputs;
  readonly beliefs: Beliefs;
}

function emptyInputs(network: Network): Inputs {
  return {
    reportDb: new Float64Array(network.children.length),
    assessed: new Uint8Array(network.children.length),
    fixedDb: new Float64Array(network.nodes.length),
    active: new Uint8Array(network.pairs.length),
  };
}

function fill(inputs: Inputs, network: Network, findings: Findings, evidence: Evidence): Inputs {
  const { reportDb, assessed, fixedDb, active } = inputs;
  reportDb.fill(0);
  assessed.fill(0);
  fixedDb.fill(0);
  active.fill(1);
  for (const line of evidence.fixed) {
    const n = network.nodeOf.get(keyOf(line.cause, line.side));
    if (n !== undefined) fixedDb[n] = (fixedDb[n] as number) + line.db;
  }
  for (const [key, state] of findings) {
    const c = network.childOf.get(key);
    if (c === undefined) continue;
    reportDb[c] = state.db;
    assessed[c] = 1;
    for (const list of (network.children[c] as Child).rivals) {
      for (const i of list) {
        const { firedAs } = network.pairs[i] as Pair;
        if (firedAs !== null && !evidence.links.has(firedAs)) active[i] = 0;
      }
    }
  }
  return inputs;
}

/** Inputs that are read at once and thrown away, one set a network. */
const passing = remembered(emptyInputs);

/** Log-odds of some nodes in dB, without the lines behind them. */
export function totalsOf(
  nodes: readonly number[],
  findings: Findings,
  evidence: Evidence,
  level: Level,
  ruleSet: RuleSet,
): number[] {
  const network = networkOf(ruleSet, level);
  const inputs = fill(passing(network), network, findings, evidence);
  return totalsDb(nodes, network, inputs, ruleSet.parts.constants.propagation);
}

export function weigh(findings: Findings, evidence: Evidence, level: Level, ruleSet: RuleSet): Weighed {
  const network = networkOf(ruleSet, level);
  const inputs = fill(emptyInputs(network), network, findings, evidence);
  return {
    findings,
    network,
    inputs,
    beliefs: propagate(network, inputs, ruleSet.parts.constants.propagation),
  };
}
