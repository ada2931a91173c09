/** The lane plan and the swimmers' sheets in a real browser: the rules of axe (WCAG 2.2), A4 and phone, one sheet each. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readSettings } from '../../src/server/config.ts';
import { createApp } from '../../src/server/start.ts';
import { type Browser, openBrowser } from './browser.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const FILE = new URL('../../openapi/examples/squad/04-forty-swimmers-six-lanes.csv', import.meta.url);

let browser: Browser;
let app: Awaited<ReturnType<typeof createApp>>;

beforeAll(async () => {
  app = await createApp(readSettings({ PORT: '0', LOG_LEVEL: 'silent' }));
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

async function pageOf(audience: string): Promise<string> {
  const reply = await app.inject({
    method: 'POST',
    url: `/v1/squads?lanes=6&minutes=60&equipment=fins,board,pull-buoy&audience=${audience}`,
    headers: { 'content-type': 'text/csv', accept: 'text/html' },
    payload: await readFile(FILE, 'utf8'),
  });
  expect(reply.statusCode).toBe(200);
  expect(reply.headers['content-disposition']).toBe(`attachment; filename="squad-${audience}.html"`);
  return reply.body;
}

async function sheets(html: string): Promise<number> {
  await browser.page.setContent(html);
  const pdf = (await browser.page.pdf({ format: 'A4' })).toString('latin1');
  return (pdf.match(/\/Type\s*\/Page[^s]/g) ?? []).length;
}

test.each([
  ['coach', 794],
  ['coach', 390],
  ['swimmer', 794],
  ['swimmer', 390],
])('for the %s at %i px: nothing that axe objects to, no sideways scroll', async (audience, width) => {
  const { page } = browser;
  await page.setViewportSize({ width, height: 1400 });
  await page.setContent(await pageOf(audience));
  await browser.screenshot(`squad-${audience}-${width}`);
  await page.addScriptTag({ path: AXE });
  const violations = await page.evaluate(
    'axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.help))',
  );
  expect(violations).toEqual([]);
  expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth')).toBe(true);
});

test('forty swimmers get forty sheets of one page each', async () => {
  expect(await sheets(await pageOf('swimmer'))).toBe(40);
});

test('the coach gets the plan on one page, each lane on at most two, one for who swims alone, two of cautions', async () => {
  const count = await sheets(await pageOf('coach'));
  expect(count).toBeGreaterThanOrEqual(1 + 6 + 1 + 1);
  expect(count).toBeLessThanOrEqual(1 + 6 * 2 + 1 + 2);
});
