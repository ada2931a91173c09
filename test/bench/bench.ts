/**
 * `npm run bench`: how fast, side by side in one run. Ratios are what to read; absolute times belong to the machine.
 */
import { writeFile } from 'node:fs/promises';
import { assess } from '../../src/assess/assess.ts';
import { readFacts } from '../../src/assess/facts.ts';
import { toRecord } from '../../src/assess/record.ts';
import { referenceRun } from '../../src/engine/reference.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { casesOf } from '../rules/run.ts';

const median = (times: number[]): number =>
  times.sort((a, b) => a - b)[Math.floor(times.length / 2)] as number;

async function time(runs: number, work: (i: number) => unknown): Promise<number> {
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const from = performance.now();
    await work(i);
    times.push(performance.now() - from);
  }
  return median(times);
}

const [ruleSet] = (await loadAll(new URL('../../rules', import.meta.url).pathname)) as [RuleSet];
const requests = [...(await casesOf(ruleSet)).values()].flat().map((c) => c.request);
const request = (i: number) => requests[i % requests.length] as (typeof requests)[number];
const withoutLooks = (i: number) => ({ ...request(i), options: { ...request(i).options, nextLooks: 0 } });

for (let i = 0; i < 200; i++) await assess(withoutLooks(i), ruleSet);

const { reports, modifiers } = ruleSet.stages;
const rules = [...reports.rules, ...modifiers.rules];
const slots = requests.map((r) => readFacts(toRecord(r, ruleSet), ruleSet).slots);
const slotsOf = (i: number) => slots[i % slots.length] as (typeof slots)[number];

const plain = await time(30, (i) => referenceRun(rules, ruleSet.facts, ruleSet.words, slotsOf(i)));
const engine = await time(1000, async (i) => [
  await reports.run(slotsOf(i)),
  await modifiers.run(slotsOf(i)),
]);
const compiled = await time(1000, (i) => [reports.select(slotsOf(i)), modifiers.select(slotsOf(i))]);
const short = await time(300, (i) => assess(withoutLooks(i), ruleSet));
const long = await time(60, (i) => assess(request(i), ruleSet));

const result = {
  rules: rules.length,
  records: requests.length,
  medianMs: {
    plainEngine: plain,
    stage: engine,
    compiledSelection: compiled,
    assessment: short,
    assessmentWithLooks: long,
  },
  ratios: { stageToPlain: plain / engine, compiledToPlain: plain / compiled, looksToNone: long / short },
};
await writeFile(new URL('result.json', import.meta.url), `${JSON.stringify(result, null, 2)}\n`);

const row = (name: string, ms: number, note: string): void =>
  console.log(`${name.padEnd(44)}${ms.toFixed(3).padStart(10)} ms  ${note}`);
console.log(`${rules.length} rules of two stages, ${requests.length} records, medians\n`);
row('json-rules-engine, its own evaluation', plain, 'new engine and facts a run');
row('the stage (compiled, on its engine)', engine, `${(plain / engine).toFixed(0)} times as fast`);
row('the compiled selection alone', compiled, `${(plain / compiled).toFixed(0)} times as fast`);
row('a whole assessment, no next looks', short, '');
row('a whole assessment with next looks', long, `${(long / short).toFixed(1)} times the cost`);
