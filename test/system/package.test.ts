/** The package as another project gets it: built, packed, installed into an empty folder and run there against the service. */
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { start } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';

const run = promisify(execFile);
const ROOT = new URL('../..', import.meta.url).pathname;
const PROGRAM = `
import { createClient, ProblemResponse } from 'front-crawl-assessment';
const client = createClient({ baseUrl: process.argv[2] });
const answer = await client.assess({
  swimmer: { level: 'intermediate', ref: 'EX-1' },
  health: { asked: true },
  observations: [{ code: 'head-held-high', severity: 3, certainty: 'sure' }],
});
const wrong = await client.assess({ swimmer: { level: 'nobody' } }).catch((e) => e);
const ids = [];
for await (const line of client.assessMany([{ id: 'a', request: { swimmer: { level: 'novice' } } }])) ids.push(line.id);
console.log(JSON.stringify([answer.status, answer.causes[0].code, wrong instanceof ProblemResponse, ids]));
await client.close();
`;

let folder: string;
let service: Awaited<ReturnType<typeof start>>;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'package-'));
  service = await start(QUIET);
});
afterAll(async () => {
  await service.app.close();
  await rm(folder, { recursive: true });
});

test('an empty project installs the package and gets answers', async () => {
  await run('npm', ['run', '--silent', 'build'], { cwd: ROOT });
  const { stdout } = await run('npm', ['pack', '--json', '--pack-destination', folder], { cwd: ROOT });
  const [{ filename, files }] = JSON.parse(stdout) as [{ filename: string; files: { path: string }[] }];
  const paths = files.map((f) => f.path);
  expect(paths).toContain('dist/client/index.d.ts');
  expect(
    paths.filter((p) => !/^(dist\/(client|contract)\/|package\.json$|README\.md$|LICENSE$)/.test(p)),
  ).toEqual([]);

  await writeFile(join(folder, 'package.json'), JSON.stringify({ type: 'module', private: true }));
  // the runtime comes from the machine here, so what is optional is left out
  await run('npm', ['install', '--no-audit', '--no-fund', '--omit=optional', join(folder, filename)], {
    cwd: folder,
  });
  await writeFile(join(folder, 'program.js'), PROGRAM);
  const said = await run(process.execPath, ['program.js', service.url], { cwd: folder });
  expect(JSON.parse(said.stdout)).toEqual(['ask-more', 'head-high-habit', true, ['a']]);
});
