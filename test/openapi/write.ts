/**
 * `npm run openapi` writes the contract to openapi/openapi.json; with `--check` it fails when the file is not what
 * the service serves. Keys are sorted, so that a change of the contract reads as a change and nothing else.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { createApp } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';

const FILE = new URL('../../openapi/openapi.json', import.meta.url);

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(entries.map(([key, v]) => [key, sorted(v)]));
}

const app = await createApp(QUIET);
const served = (await app.inject('/openapi.json')).json();
await app.close();
const text = `${JSON.stringify(sorted(served), null, 2)}\n`;

if (process.argv.includes('--check')) {
  const written = await readFile(FILE, 'utf8').catch(() => '');
  if (written === text) console.log('openapi/openapi.json is what the service serves');
  else {
    console.error('openapi/openapi.json differs from what the service serves; run: npm run openapi');
    process.exitCode = 1;
  }
} else {
  await writeFile(FILE, text);
  console.log(`openapi/openapi.json written, ${Object.keys(served.paths).length} paths`);
}
