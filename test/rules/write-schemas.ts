/**
 * `npm run schemas` writes the JSON Schemas of the rule files to rules/schemas; with `--check` it fails when they are
 * not what the code gives. Keys are sorted, so that a change of a schema reads as a change and nothing else.
 */
import { readdir, readFile, rm, writeFile } from 'node:fs/promises';
import canonicalize from 'canonicalize';
import { schemasOfRuleFiles } from '../../src/authoring/schemas.ts';

const FOLDER = new URL('../../rules/schemas/', import.meta.url);

const wanted = new Map(
  Object.entries(schemasOfRuleFiles()).map(([file, schema]) => [
    `${file}.schema.json`,
    `${JSON.stringify(JSON.parse(canonicalize(schema) as string), null, 2)}\n`,
  ]),
);
const written = await readdir(FOLDER);
const stale = written.filter((name) => !wanted.has(name));

if (process.argv.includes('--check')) {
  const differs: string[] = [];
  for (const [name, text] of wanted) {
    const there = written.includes(name) ? await readFile(new URL(name, FOLDER), 'utf8') : '';
    if (there !== text) differs.push(name);
  }
  const faults = [...differs, ...stale];
  if (faults.length === 0) console.log(`rules/schemas is what the code gives, ${wanted.size} files`);
  else {
    console.error(
      `rules/schemas differs from what the code gives (${faults.join(', ')}); run: npm run schemas`,
    );
    process.exitCode = 1;
  }
} else {
  for (const [name, text] of wanted) await writeFile(new URL(name, FOLDER), text);
  for (const name of stale) await rm(new URL(name, FOLDER));
  console.log(`rules/schemas written, ${wanted.size} files`);
}
