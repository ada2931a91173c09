/** The example of a club's own system runs against the real service, twice. Invented swimmers. */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { start } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';
import { importSquad } from './club.ts';

const SPREADSHEET = fileURLToPath(new URL('swimmers.csv', import.meta.url));

let service: Awaited<ReturnType<typeof start>>;
let folder: string;
beforeAll(async () => {
  service = await start(QUIET);
  folder = await mkdtemp(join(tmpdir(), 'club-'));
});
afterAll(async () => {
  await service.app.close();
  await rm(folder, { recursive: true });
});

test('every good row has its answer, a wrong one is told by its field, and a second run sends only what is missing', async () => {
  const told = vi.spyOn(console, 'error').mockImplementation(() => undefined);
  expect(await importSquad(SPREADSHEET, folder, service.url)).toEqual({ stored: 3, refused: 1 });
  expect(told.mock.calls.join()).toMatch(/CL-03.*\/request\/swimmer\/level/);
  expect((await readdir(folder)).sort()).toEqual(['CL-01.json', 'CL-02.json', 'CL-04.json']);
  const first = JSON.parse(await readFile(join(folder, 'CL-01.json'), 'utf8'));
  expect(first.causes[0].code).toBe('head-high-habit');
  expect(await importSquad(SPREADSHEET, folder, service.url)).toEqual({ stored: 0, refused: 1 });
  told.mockRestore();
});
