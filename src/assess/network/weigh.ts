/** Puts the findings and the evidence of one record into the network and lets it settle. */
import type { Level } from '../../contract/common.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Evidence } from '../evidence.ts';
import { type Findings, keyOf } from '../findings.ts';
import { type Network, networkOf, type Pair } from './network.ts';
import { type Beliefs, type Inputs, propagate } from './propagate.ts';

export interface Weighed {
  readonly network: Network;
  readonly inputs: Inputs;
  readonly beliefs: Beliefs;
}

function inputsOf(network: Network, findings: Findings, evidence: Evidence): Inputs {
  const reportDb = new Float64Array(network.children.length);
  const assessed = new Uint8Array(network.children.length);
  for (const [key, state] of findings) {
    const c = network.childOf.get(key);
    if (c === undefined) continue;
    reportDb[c] = state.db;
    assessed[c] = 1;
  }
  const fixedDb = new Float64Array(network.nodes.length);
  for (const line of evidence.fixed) {
    const n = network.nodeOf.get(keyOf(line.cause, line.side));
    if (n !== undefined) fixedDb[n] = (fixedDb[n] as number) + line.db;
  }
  const active = new Uint8Array(network.pairs.length).fill(1);
  for (const key of findings.keys()) {
    for (const list of network.children[network.childOf.get(key) ?? -1]?.rivals ?? []) {
      for (const i of list) {
        const { firedAs } = network.pairs[i] as Pair;
        if (firedAs !== null && !evidence.links.has(firedAs)) active[i] = 0;
      }
    }
  }
  return { reportDb, assessed, fixedDb, active };
}

export function weigh(findings: Findings, evidence: Evidence, level: Level, ruleSet: RuleSet): Weighed {
  const network = networkOf(ruleSet, level);
  const inputs = inputsOf(network, findings, evidence);
  return { network, inputs, beliefs: propagate(network, inputs, ruleSet.parts.constants.propagation) };
}
