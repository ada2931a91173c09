/** Reports in a real browser: the rules of axe (WCAG 2.2), on A4 and on a phone, and at most two pages for the swimmer. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createApp } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';
import { type Browser, openBrowser } from './browser.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
/** Stories of the examples, by their folder. */
const STORIES = [
  'assess/02-crossing-hands',
  'assess/05-painful-shoulder',
  'assess/07-nothing-to-fix',
  'assess/09-chest-sign',
  'compare/01-head-came-down',
  'compare/02-another-pace',
];
const ADDRESS: Readonly<Record<string, string>> = { assess: 'assessments', compare: 'comparisons' };

let browser: Browser;
let app: Awaited<ReturnType<typeof createApp>>;

beforeAll(async () => {
  app = await createApp(QUIET);
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

async function pageOf(story: string, audience: string): Promise<string> {
  const file = new URL(`../../openapi/examples/${story}.json`, import.meta.url);
  const { request } = JSON.parse(await readFile(file, 'utf8'));
  const address = ADDRESS[story.split('/')[0] as string] as string;
  const reply = await app.inject({
    method: 'POST',
    url: `/v1/${address}?audience=${audience}`,
    headers: { 'content-type': 'application/json', accept: 'text/html' },
    payload: JSON.stringify(request),
  });
  expect(reply.statusCode).toBe(200);
  expect(reply.headers['content-disposition']).toBe(
    `attachment; filename="${address.slice(0, -1)}-${audience}.html"`,
  );
  return reply.body;
}

describe.each(STORIES)('%s', (story) => {
  test.each([
    ['coach', 794],
    ['coach', 390],
    ['swimmer', 794],
    ['swimmer', 390],
  ])('for the %s at %i px: nothing that axe objects to, no sideways scroll', async (audience, width) => {
    const { page } = browser;
    await page.setViewportSize({ width, height: 1400 });
    await page.setContent(await pageOf(story, audience));
    await browser.screenshot(`report-${story.replace('/', '-')}-${audience}-${width}`);
    await page.addScriptTag({ path: AXE });
    const violations = await page.evaluate(
      'axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.help))',
    );
    expect(violations).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth')).toBe(true);
  });

  test('the swimmer gets at most two pages of A4', async () => {
    const { page } = browser;
    await page.setContent(await pageOf(story, 'swimmer'));
    const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
    expect((pdf.match(/\/Type\s*\/Page[^s]/g) ?? []).length).toBeLessThanOrEqual(2);
  });
});
