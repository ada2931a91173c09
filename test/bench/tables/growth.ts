/** How the cost grows with the number of rules, observations and causes. */
import { assess } from '../../../src/assess/assess.ts';
import { readFacts } from '../../../src/assess/facts.ts';
import { toRecord } from '../../../src/assess/record.ts';
import { createStage, type RuleInstance, type Stage } from '../../../src/engine/stage.ts';
import { seeded } from '../../engine/slot-vectors.ts';
import { ruleSetOf } from '../growth/rule-sets.ts';
import { exponent, inTurns, median, ms, type Table } from '../harness.ts';
import { inventedRequests } from '../records.ts';
import { requests, ruleSet } from '../subject.ts';

const AT_MOST = 1.2;
const TURNS = 10;

interface Series {
  readonly name: string;
  readonly points: readonly (readonly [size: number, milliseconds: number])[];
  readonly exponent: number;
}

async function grow(
  name: string,
  sizes: readonly number[],
  workOf: (size: number) => (i: number) => unknown,
  runs: number,
): Promise<Series> {
  const competitors = Object.fromEntries(sizes.map((size) => [String(size), { runs, work: workOf(size) }]));
  const timings = await inTurns(competitors, TURNS);
  const points = sizes.map((size) => [size, median(timings[String(size)]?.turns ?? [])] as const);
  return { name, points, exponent: exponent(points) };
}

/** Rules drawn from the shipped ones, so that a larger set looks like a smaller one. */
function drawRules(number: number): RuleInstance<unknown>[] {
  const rules = (Object.values(ruleSet.stages) as Stage<unknown>[]).flatMap((stage) => stage.rules);
  const random = seeded(number);
  return Array.from({ length: number }, (_, i) => {
    const rule = rules[Math.floor(random() * rules.length)] as RuleInstance<unknown>;
    return { ...rule, id: `${rule.id}--${i}` };
  });
}

export async function growth(): Promise<Table> {
  const slots = requests.map((request) => readFacts(toRecord(request, ruleSet), ruleSet).slots);
  const rules = await grow(
    'rules (rule stage)',
    [100, 400, 1600],
    (size) => {
      const stage = createStage('drawn', drawRules(size), ruleSet.facts, ruleSet.words);
      return (i) => stage.run(slots[i % slots.length] as (typeof slots)[number]);
    },
    200,
  );
  const observations = await grow(
    'observations (assessment)',
    [5, 10, 20, 50, 100],
    (size) => {
      const drawn = inventedRequests(ruleSet, 50, size);
      return (i) => assess(drawn[i % drawn.length] as (typeof drawn)[number], ruleSet);
    },
    50,
  );
  const causes = await grow(
    'causes (assessment, 15 looks)',
    [10, 20, 50, 100, 200],
    (size) => {
      const larger = ruleSetOf(ruleSet, size);
      const drawn = inventedRequests(larger, 50, 15);
      return (i) => assess(drawn[i % drawn.length] as (typeof drawn)[number], larger);
    },
    50,
  );
  const series = [rules, observations, causes];
  return {
    title: 'Growth: time at each size, and the exponent of the best line through them',
    head: ['', 'smallest', 'largest', 'exponent'],
    rows: series.map((s) => {
      const [first, last] = [s.points[0], s.points.at(-1)] as [
        (typeof s.points)[number],
        (typeof s.points)[number],
      ];
      const at = ([size, time]: (typeof s.points)[number]): string => `${size}: ${ms(time)}`;
      return [s.name, at(first), at(last), s.exponent.toFixed(2)];
    }),
    checks: series.map((s) => ({ what: `exponent of ${s.name}`, value: s.exponent, atMost: AT_MOST })),
    data: series,
  };
}
