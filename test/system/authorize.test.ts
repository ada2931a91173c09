/** With keys configured: the button "Authorize" of the documentation page is all that a coach needs. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { newKey } from '../../src/server/access/keys.ts';
import { readSettings } from '../../src/server/config.ts';
import { start } from '../../src/server/start.ts';
import { type Browser, openBrowser } from './browser.ts';
import { execute, openOperation } from './docs-page.ts';

const { key, sha256 } = newKey();
let folder: string;
let service: Awaited<ReturnType<typeof start>>;
let browser: Browser;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'keys-'));
  const path = join(folder, 'keys.json');
  await writeFile(path, JSON.stringify([{ id: 'coach', sha256, scopes: ['assess'] }]));
  service = await start(
    readSettings({ PORT: '0', LOG_LEVEL: 'silent', WORKERS: '0', ACCESS_KEYS_FILE: path }),
  );
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await service?.app.close();
  await rm(folder, { recursive: true });
});

test('without a key a call is refused; after "Authorize" it is answered, and another scope is not', async () => {
  const { page } = browser;
  const block = await openOperation(page, service.url, 'Assess-assess');
  const refused = await execute(block);
  expect(refused.status).toMatch(/^401/);
  expect(refused.body).toContain('not-authenticated');

  await page.locator('.auth-wrapper button.authorize').first().click();
  await page.locator('.modal-ux input').first().fill(key);
  await page.locator('.modal-ux button.authorize').click();
  await page.locator('.modal-ux button.btn-done').click();
  const answered = await execute(block);
  await browser.screenshot('a1-authorized');
  expect(answered.status).toMatch(/^200/);

  const list = page.locator('[id="operations-Rule_sets-listRuleSets"]');
  await list.locator('.opblock-summary').click();
  await list.locator('button.execute').waitFor();
  const other = await execute(list);
  expect(other.status).toMatch(/^403/);
  expect(other.body).toContain('not-allowed');
});
