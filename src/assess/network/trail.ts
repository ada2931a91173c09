/** The lines of one cause. They add up exactly to its log-odds, and each can be re-done from its own numbers. */
import type { ConditionValue, TrailLine } from '../../contract/answer.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { FixedLine } from '../evidence.ts';
import { keyOf } from '../findings.ts';
import { labelOfCause, labelOfFinding, phrase, sideWords } from '../phrases.ts';
import { db, logOddsOf, ratioOf, weightOfReport } from './decibans.ts';
import type { Child, Node, Pair } from './network.ts';
import type { Weighed } from './weigh.ts';

export function conditionValues(line: Pick<FixedLine, 'leaves'>): ConditionValue[] {
  return line.leaves.map(({ fact, operator, value, actual, truth }) => ({
    fact,
    operator,
    value,
    actual: actual ?? null,
    state: truth === undefined ? 'unknown' : truth ? 'true' : 'false',
  }));
}

function bestOf(list: readonly number[], weighed: Weighed): { pair: number; chance: number } | undefined {
  const { network, beliefs, inputs } = weighed;
  let best: { pair: number; chance: number } | undefined;
  for (const i of list) {
    if (inputs.active[i] === 0) continue;
    const chance = (network.pairs[i] as Pair).q * (beliefs.without[i] as number);
    if (best === undefined || chance > best.chance) best = { pair: i, chance };
  }
  return best;
}

/** Drivers one after the other, the likeliest first: each line is what its driver adds to those before it. */
function driverLines(node: Node, weighed: Weighed, ruleSet: RuleSet): TrailLine[] {
  const { network, beliefs } = weighed;
  const drivers = node.drivers
    .map((list) => bestOf(list, weighed))
    .filter((d) => d !== undefined)
    .map((d) => ({ ...d, driver: network.nodes[(network.pairs[d.pair] as Pair).node] as Node }))
    .sort((a, b) => b.chance - a.chance || (a.driver.code < b.driver.code ? -1 : 1));
  let none = 1 - node.leak;
  let before = logOddsOf(node.leak);
  return drivers.map(({ pair, chance, driver }) => {
    none *= 1 - chance;
    const now = logOddsOf(1 - none);
    const line: TrailLine = {
      kind: 'driver',
      db: now - before,
      text: phrase(ruleSet, 'trail-driver', {
        label: labelOfCause(ruleSet, driver.code),
        side: sideWords(ruleSet, driver.side),
      }),
      rule: (network.pairs[pair] as Pair).rule,
      code: driver.code,
      side: driver.side,
      q: (network.pairs[pair] as Pair).q,
      probability: beliefs.without[pair] as number,
    };
    before = now;
    return line;
  });
}

function fixedLine(line: FixedLine, ruleSet: RuleSet): TrailLine {
  return {
    kind: line.role,
    db: line.db,
    text: ruleSet.texts.modifiers[line.rule] ?? '',
    rule: line.rule,
    strength: line.strength,
    weight: line.weight,
    groupFactor: line.groupFactor,
    conditions: conditionValues(line),
  };
}

/** How a value with an error weighs: the grades that it may be, with their chances. An exact value needs no words. */
function measuredWords(child: Child, weighed: Weighed, ruleSet: RuleSet): string[] {
  const reports = child.node >= 0 ? [] : (weighed.findings.get(child.key)?.reports ?? []);
  return reports.flatMap(({ source, measured }) => {
    const bands = measured?.bands.filter((b) => Math.round(b.share * 100) >= 1) ?? [];
    if (measured?.standardDeviation === undefined || bands.length < 2) return [];
    const grades = bands.map((b) => `${Math.round(b.share * 100)} % ${phrase(ruleSet, `band-${b.band}`)}`);
    return phrase(ruleSet, 'trail-measured', {
      label: ruleSet.texts.measurements[source]?.label ?? source,
      value: rounded(measured.value),
      unit: ruleSet.measurements.get(source)?.unit ?? '',
      error: rounded(measured.standardDeviation),
      grades: grades.join(', '),
    });
  });
}

/** At most two places after the point. */
const rounded = (x: number): string => String(Number(x.toFixed(2)));

function childLine(i: number, weighed: Weighed, ruleSet: RuleSet): TrailLine {
  const { network, beliefs, inputs } = weighed;
  const pair = network.pairs[i] as Pair;
  const child = network.children[pair.child] as Child;
  const mechanism = child.node >= 0;
  const reportDb = (mechanism ? beliefs.passedUpDb[child.node] : inputs.reportDb[pair.child]) as number;
  const rivals = child.rivals
    .filter((list) => !list.includes(i))
    .map((list) => bestOf(list, weighed))
    .filter((r) => r !== undefined)
    .sort((a, b) => b.chance - a.chance || a.pair - b.pair)
    .map((r) => {
      const rival = network.pairs[r.pair] as Pair;
      const node = network.nodes[rival.node] as Node;
      return {
        cause: node.code,
        side: node.side,
        probabilityWithout: beliefs.without[r.pair] as number,
        q: rival.q,
      };
    });
  const why = mechanism
    ? phrase(ruleSet, 'trail-mechanism', {
        label: labelOfCause(ruleSet, child.code),
        side: sideWords(ruleSet, child.side),
      })
    : reportDb < 0
      ? phrase(ruleSet, 'trail-absent', { label: labelOfFinding(ruleSet, child.code) })
      : (ruleSet.texts.links[pair.rule] ?? '');
  return {
    kind: mechanism ? 'mechanism' : 'finding',
    db: beliefs.countedDb[i] as number,
    text: [why, ...measuredWords(child, weighed, ruleSet)].join('; '),
    rule: pair.rule,
    code: child.code,
    side: child.side,
    ...(pair.direct ? { direct: true } : {}),
    shows: pair.showsWord,
    backgroundWord: child.leakWord,
    reportDb,
    leak: child.leak,
    background: beliefs.background[i] as number,
    seenIfCause: beliefs.seenIfCause[i] as number,
    q: pair.q,
    certainDb: db(pair.shows / child.leak),
    aloneDb: weightOfReport(ratioOf(reportDb), pair.shows, child.leak),
    explainedDb: beliefs.weightDb[i] as number,
    groupFactor: beliefs.factor[i] as number,
    explainedBy: rivals,
  };
}

/** All lines but the limit, in the order in which a coach reads them. */
export function linesOf(
  nodeIndex: number,
  fixed: readonly FixedLine[],
  weighed: Weighed,
  ruleSet: RuleSet,
  level: string,
): TrailLine[] {
  const { network, beliefs } = weighed;
  const node = network.nodes[nodeIndex] as Node;
  const prior: TrailLine = {
    kind: 'prior',
    db: logOddsOf(node.leak),
    text: phrase(ruleSet, node.role === 'mechanism' ? 'trail-background' : 'trail-prior', { level }),
    probability: node.leak,
  };
  const own = fixed.filter((line) => keyOf(line.cause, line.side) === node.key);
  const seen = node.children.filter((i) => (beliefs.weightDb[i] as number) !== 0);
  return [
    prior,
    ...driverLines(node, weighed, ruleSet),
    ...own.map((line) => fixedLine(line, ruleSet)),
    ...seen.map((i) => childLine(i, weighed, ruleSet)),
  ];
}
