/** A head coach changes a rule from the documentation page: make a link stronger, check it, try it on one swimmer. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CheckAnswer, TryAnswer } from '../../src/contract/drafts.ts';
import { readSettings } from '../../src/server/config.ts';
import { start } from '../../src/server/start.ts';
import { type Browser, openBrowser } from './browser.ts';
import { execute, openOperation } from './docs-page.ts';

const LINK = 'forearm-not-upright--no-forearm-set';

let service: Awaited<ReturnType<typeof start>>;
let browser: Browser;

beforeAll(async () => {
  service = await start(readSettings({ PORT: '0', LOG_LEVEL: 'silent', WORKERS: '1' }));
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await service?.app.close();
});

test('a link is made stronger, and the page names the case that fails and what changes for whom', async () => {
  const block = await openOperation(browser.page, service.url, 'Author-checkDraft');
  await block.locator('.examples-select select').first().selectOption('stronger-link');
  const text = block.locator('textarea.body-param__text');
  const draft = JSON.parse(await text.inputValue());
  expect(draft.draft.upsert.links[0].id).toBe(LINK);
  draft.draft.upsert.links[0].event.params.shows = 'usually';
  await text.fill(JSON.stringify(draft, null, 2));
  const weaker = JSON.parse((await execute(block)).body) as CheckAnswer;
  await browser.screenshot('d1-usually');

  draft.draft.upsert.links[0].event.params.shows = 'nearly-always';
  await text.fill(JSON.stringify(draft, null, 2));
  const { status, body } = await execute(block);
  await block.locator('.live-responses-table').first().scrollIntoViewIfNeeded();
  await browser.screenshot('d2-nearly-always');
  expect(status).toMatch(/^200/);
  const answer = JSON.parse(body) as CheckAnswer;
  expect(answer.cases.broken.map((c) => c.id)).toEqual(['cause-hand-only-pull']);
  expect(answer.cases.broken[0]?.faults.join()).toContain('hand-only-pull');
  expect(answer.difference[0]?.text).toContain('You say: of 20 swimmers');
  expect(answer.draft.digest).not.toBe(weaker.draft.digest);
  expect(answer.impact?.changed).toBeGreaterThanOrEqual(weaker.impact?.changed as number);
  expect(answer.impact?.changes[0]?.changes.length).toBeGreaterThan(0);
});

test('the same draft is tried on one swimmer, and the lines that changed are there to read', async () => {
  const block = await openOperation(browser.page, service.url, 'Author-tryDraft');
  await block.locator('.examples-select select').first().selectOption('stronger-link');
  const { status, body } = await execute(block);
  await block.locator('.live-responses-table').first().scrollIntoViewIfNeeded();
  await browser.screenshot('d3-try');
  expect(status).toMatch(/^200/);
  const { causes, base, draft } = JSON.parse(body) as TryAnswer;
  expect([base?.status, draft.status]).toEqual(['ok', 'ok']);
  const moved = causes.find((c) => c.cause === 'no-forearm-set');
  expect(moved?.lines[0]).toMatchObject({ before: expect.any(Number), after: expect.any(Number) });
  expect(moved?.after).toBeGreaterThan(moved?.before as number);
  expect(browser.complaints).toEqual([]);
});
