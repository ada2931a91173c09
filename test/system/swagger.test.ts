/** The documentation page as a coach uses it, in a real browser against the real service. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { start } from '../../src/server/start.ts';
import { type Browser, openBrowser } from './browser.ts';

let service: Awaited<ReturnType<typeof start>>;
let browser: Browser;

beforeAll(async () => {
  service = await start({ HOST: '127.0.0.1', PORT: 0, LOG_LEVEL: 'silent', BODY_LIMIT_BYTES: 1024 * 1024 });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await service?.app.close();
});

/** Opens an operation of the page and waits for its form. */
async function openOperation(id: string) {
  const { page } = browser;
  await page.goto(`${service.url}/docs`);
  const block = page.locator(`[id="operations-${id}"]`);
  await block.locator('.opblock-summary').click();
  await block.locator('button.execute').waitFor();
  return block;
}

/** Presses Execute and reads what came back. */
async function execute(
  block: ReturnType<Browser['page']['locator']>,
): Promise<{ status: string; body: string }> {
  await block.locator('button.execute').click();
  const live = block.locator('.live-responses-table .response').first();
  await live.waitFor();
  const status = (await live.locator('.response-col_status').first().innerText()).trim();
  const body = await live.locator('.highlight-code').first().innerText();
  return { status, body };
}

describe('the documentation page', () => {
  test('names the service and shows the first step first', async () => {
    const { page } = browser;
    await page.goto(`${service.url}/docs`);
    await page.locator('.opblock').first().waitFor();
    await browser.screenshot('1-page');
    expect(await page.locator('.info .title').innerText()).toContain('Front crawl assessment');
    expect(await page.locator('.opblock-summary-description').first().innerText()).toBe('Assess a swimmer');
  });

  test('runs a named example and shows the assessment', async () => {
    const block = await openOperation('Assess-assess');
    const examples = block.locator('.examples-select select').first();
    await examples.selectOption('crossing-hands');
    await browser.screenshot('2-example');
    const { status, body } = await execute(block);
    await block.locator('.live-responses-table').first().scrollIntoViewIfNeeded();
    await browser.screenshot('3-answer');
    expect(status).toMatch(/^200/);
    expect(body).toContain('"status": "ok"');
    expect(body).toContain('"code": "under-rotation"');
  });

  test('explains a mistake in a record that was edited by hand', async () => {
    const block = await openOperation('Assess-assess');
    await block
      .locator('textarea.body-param__text')
      .fill(
        '{ "swimmer": { "level": "novice" }, "observations": [{ "code": "head-held-hi", "severity": 2 }] }',
      );
    const { status, body } = await execute(block);
    await browser.screenshot('4-mistake');
    expect(status).toMatch(/^400/);
    expect(body).toContain('/observations/0/code');
    expect(body).toContain('head-held-high');
  });

  test('fills a blank record for two views', async () => {
    const block = await openOperation('Assess-blankRecord');
    const field = (name: string) => block.locator(`tr[data-param-name="${name}"] input`);
    await field('name').fill('front-crawl');
    await field('version').fill('1.0.0');
    await field('views').fill('side-under,overhead');
    const { status, body } = await execute(block);
    await browser.screenshot('5-blank-record');
    expect(status).toMatch(/^200/);
    expect(body).toContain('"side-under"');
    expect(body).not.toContain('"self-report"');
  });

  test('finds how to record an elbow that drops', async () => {
    const block = await openOperation('Rule sets-getPart'.replace(' ', '_'));
    const field = (name: string) => block.locator(`tr[data-param-name="${name}"] input`);
    await field('name').fill('front-crawl');
    await field('version').fill('1.0.0');
    await field('part').fill('observations');
    await field('q').fill('elbow catch');
    const { status, body } = await execute(block);
    await browser.screenshot('6-search');
    expect(status).toMatch(/^200/);
    expect(body).toContain('"dropped-elbow-catch"');
  });

  test('complains about nothing', () => {
    // the browser reports the 400 of the mistake above as a failed resource, which it is meant to be
    expect(browser.complaints.filter((text) => !text.includes('400'))).toEqual([]);
  });
});
