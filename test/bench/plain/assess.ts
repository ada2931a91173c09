/** The stages one after the other. See rule-book.ts for what this is. */

import type { AssessmentRequest } from '../../../src/contract/request.ts';
import { type Cause, listCauses, probabilityOfNode, rank, type Weighed } from './causes.ts';
import { type Facts, firing, type Words } from './conditions.ts';
import { chooseDrills, type Drill, type Excluded } from './drills.ts';
import { type ArmScores, type Score, scoreArms } from './efficiency.ts';
import { fixedLines } from './evidence.ts';
import { readFacts } from './facts.ts';
import { type Findings, readFindings } from './findings.ts';
import { chooseFocus, type Focus, type Plan } from './focus.ts';
import { type Gate, healthGate } from './gate.ts';
import { type Look, nextLooks } from './looks.ts';
import { believed, type Inputs, predicted, propagate } from './propagate.ts';
import { type Entries, readEntries } from './record.ts';
import { keyOf, type RuleBook } from './rule-book.ts';

export interface Conclusion {
  readonly status: 'refer' | 'ask-more' | 'ok';
  readonly gate: Gate;
  readonly entries: Entries;
  readonly facts: Facts;
  readonly findings: Findings;
  readonly weighed: Weighed;
  readonly causes: readonly Cause[];
  readonly mechanisms: readonly Cause[];
  readonly plan: Plan;
}
export type Study = { readonly status: 'stop'; readonly gate: Gate } | Conclusion;

function weigh(
  facts: Facts,
  findings: Findings,
  words: Words,
  request: AssessmentRequest,
  book: RuleBook,
): Weighed {
  const network = book.networks[request.swimmer.level];
  const fired = new Set(findings.size === 0 ? [] : firing(book.links, facts, words));
  const fixed = fixedLines(facts, words, book);
  const sums = network.nodes.map(() => 0);
  for (const line of fixed) {
    const node = network.nodeByKey.get(keyOf(line.cause, line.side));
    if (node !== undefined) sums[node.index] = sums[node.index]! + line.db;
  }
  const reports = network.children.map((child) =>
    child.mechanism === undefined ? findings.get(child.key)?.db : undefined,
  );
  const active = network.pairs.map(
    ({ link, child }) => link === undefined || reports[child.index] === undefined || fired.has(link),
  );
  const inputs: Inputs = { reports, fixed: sums, active };
  return { network, inputs, fixed, beliefs: propagate(network, inputs, book.parts.constants.propagation) };
}

export function conclude(request: AssessmentRequest, book: RuleBook): Study {
  const { words } = book;
  const entries = readEntries(request, book);
  const known = readFacts(request, entries, book);
  const { facts } = known;
  const gate = healthGate(facts, words, book);
  if (gate.status === 'stop') return { status: 'stop', gate };

  const findings = readFindings(known, entries.flags, words, book);
  const weighed = weigh(facts, findings, words, request, book);
  const { causes, mechanisms } = listCauses(weighed, findings, request, book);
  for (const node of weighed.network.nodes) {
    facts.set(`cause:${node.key}`, probabilityOfNode(node, weighed, book));
  }
  facts.set('listed-causes', causes.length);
  if (causes[0] !== undefined) facts.set('leading-cause', causes[0].code);

  const insufficient = firing(book.sufficiency, facts, words).map((rule) => rule.event.params.code);
  facts.set('insufficient', insufficient);
  const plan = chooseFocus(facts, causes, findings, weighed, gate, request, words, book);
  const status = gate.status === 'refer' ? 'refer' : insufficient.length > 0 ? 'ask-more' : 'ok';
  return {
    status,
    gate,
    entries,
    facts,
    findings,
    weighed,
    causes: rank(causes, plan.focus),
    mechanisms,
    plan,
  };
}

export interface PlainAnswer {
  readonly status: Conclusion['status'];
  readonly restrictions: Gate['restrictions'];
  readonly findings: readonly {
    readonly code: string;
    readonly side: string;
    readonly severity: number;
    readonly status: 'present' | 'absent';
    readonly belief: number;
    readonly reportDb: number;
    readonly conflict: boolean;
  }[];
  readonly causes: readonly Cause[];
  readonly mechanisms: readonly Cause[];
  readonly efficiency: { readonly left: ArmScores; readonly right: ArmScores; readonly difference: Score };
  readonly focus: readonly Focus[];
  readonly drills: readonly Drill[];
  readonly excludedDrills: readonly Excluded[];
  readonly nextLooks: readonly Look[];
}

export function assessPlainly(request: AssessmentRequest, book: RuleBook): PlainAnswer | { status: 'stop' } {
  const c = conclude(request, book);
  if (c.status === 'stop') return { status: 'stop' };
  const { words } = book;
  const { facts, findings, weighed, gate, entries, plan, causes, mechanisms } = c;
  const told = [...findings.values()].map(({ code, side, severity, db, conflict }) => {
    const child = weighed.network.findingByKey.get(keyOf(code, side))!;
    const belief = believed(predicted(child, weighed.beliefs, weighed.inputs), db);
    const status = db > 0 || (db === 0 && belief >= 0.5) ? ('present' as const) : ('absent' as const);
    return { code, side, severity, status, belief, reportDb: db, conflict };
  });
  const efficiency = scoreArms(facts, findings, weighed, gate, entries, request, words, book);
  const { drills, excluded } = chooseDrills(facts, causes, plan, findings, request, words, book);
  return {
    status: c.status,
    restrictions: gate.restrictions,
    findings: told,
    causes,
    mechanisms,
    efficiency,
    focus: plan.focus,
    drills,
    excludedDrills: excluded,
    nextLooks: request.options?.nextLooks === 0 ? [] : nextLooks(c, request, book),
  };
}
