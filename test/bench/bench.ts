/**
 * `npm run bench`: how fast, side by side in one run. Ratios are what to read; absolute times belong to the machine. It
 * ends with an error when a figure falls short. The whole run is kept: result.json, profile.txt and the tables in the README.
 * `npm run bench -- growth http` runs these tables only and keeps nothing.
 */
import { writeFile } from 'node:fs/promises';
import { availableParallelism, cpus } from 'node:os';
import { assess } from '../../src/assess/assess.ts';
import { README, writeBlock } from '../docs-blocks.ts';
import { batch } from './batch.ts';
import { holds, type Table, written } from './harness.ts';
import { profileOf } from './profile.ts';
import { requestOf, ruleSet } from './subject.ts';
import { assessment } from './tables/assessment.ts';
import { growth } from './tables/growth.ts';
import { http } from './tables/http.ts';
import { ruleStage } from './tables/rule-stage.ts';
import { start } from './tables/start.ts';

/** One file a table, in the order in which they are printed. */
const TABLES: Readonly<Record<string, () => Promise<Table>>> = {
  'rule-stage': ruleStage,
  assessment,
  growth,
  http,
  batch,
  start,
};

const here = (file: string): URL => new URL(file, import.meta.url);
const asked = process.argv.slice(2);
const names = asked.length === 0 ? Object.keys(TABLES) : asked;
const machine = {
  cores: availableParallelism(),
  processor: cpus()[0]?.model,
  node: process.version,
  platform: process.platform,
};
const told: string[] = [
  `${machine.cores} cores of ${machine.processor}, Node ${machine.node} on ${machine.platform}`,
];
console.log(told[0]);

const results: { [name: string]: Pick<Table, 'title' | 'checks' | 'data'> } = {};
for (const name of names) {
  const make = TABLES[name];
  if (make === undefined)
    throw new Error(`there is no table ${name}, only ${Object.keys(TABLES).join(', ')}`);
  const table = await make();
  const lines = written(table);
  console.log(`\n${lines.join('\n')}`);
  told.push(lines.join('\n'));
  results[name] = { title: table.title, checks: table.checks, data: table.data };
}

if (asked.length === 0) {
  const short = await profileOf('Without next looks', (i) => assess(requestOf(i), ruleSet), 2000);
  const long = await profileOf(
    'With next looks',
    (i) => assess({ ...requestOf(i), options: {} }, ruleSet),
    150,
  );
  await writeFile(here('profile.txt'), `${short}\n${long}`);
  await writeFile(here('result.json'), `${JSON.stringify({ machine, results }, null, 2)}\n`);
  await writeBlock(README, 'bench', `\`\`\`text\n${told.join('\n\n')}\n\`\`\``);
}

const missed = Object.values(results)
  .flatMap((table) => table.checks)
  .filter((check) => !holds(check));
console.log(missed.length === 0 ? '\nevery figure is reached' : `\n${missed.length} figures fall short`);
process.exitCode = missed.length === 0 ? 0 : 1;
