/** The documentation page as a coach uses it, in a real browser against the real service. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { start } from '../../src/server/start.ts';
import { QUIET } from '../settings.ts';
import { type Browser, openBrowser } from './browser.ts';
import { execute, fill, openOperation as open } from './docs-page.ts';

let service: Awaited<ReturnType<typeof start>>;
let browser: Browser;

beforeAll(async () => {
  service = await start(QUIET);
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await service?.app.close();
});

const openOperation = (id: string) => open(browser.page, service.url, id);

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

  test('task 1: find how to record an elbow that drops on the left', async () => {
    const block = await openOperation('Rule_sets-getPart');
    await fill(block, {
      name: 'front-crawl',
      version: '1.0.0',
      part: 'observations',
      q: 'elbow drops on the left',
    });
    const { status, body } = await execute(block);
    await browser.screenshot('5-search');
    expect(status).toMatch(/^200/);
    expect(body).toContain('"dropped-elbow-catch"');
    expect(body).toContain('"sideMeans": "the arm itself"');
  });

  test('task 2: fill a blank record for two views and have it assessed', async () => {
    const blank = await openOperation('Assess-blankRecord');
    await fill(blank, { name: 'front-crawl', version: '1.0.0', views: 'side-under,overhead' });
    const { status, body } = await execute(blank);
    await browser.screenshot('6-blank-record');
    expect(status).toMatch(/^200/);
    expect(body).not.toContain('"self-report"');
    // the coach marks what was seen and leaves the rest as looked for and not there
    const record = JSON.parse(body);
    const seen = record.observations.find((o: { code: string }) => o.code === 'hips-low');
    Object.assign(seen, { severity: 2, certainty: 'sure' });

    const block = await openOperation('Assess-assess');
    await block.locator('textarea.body-param__text').fill(JSON.stringify(record, null, 2));
    const answer = await execute(block);
    await browser.screenshot('7-filled-record');
    expect(answer.status).toMatch(/^200/);
    expect(answer.body).toContain('"code": "hips-low"');
  });

  test('task 3: overrule the focus and refuse a drill', async () => {
    const block = await openOperation('Assess-assess');
    await block.locator('.examples-select select').first().selectOption('high-head');
    const text = block.locator('textarea.body-param__text');
    const record = JSON.parse(await text.inputValue());
    record.coach = {
      focus: [{ cause: 'weak-kick-support' }],
      rejectDrills: [{ code: 'head-lead-kick', because: 'not in this group' }],
    };
    await text.fill(JSON.stringify(record, null, 2));
    const { status, body } = await execute(block);
    await browser.screenshot('8-coach-decides');
    expect(status).toMatch(/^200/);
    const answer = JSON.parse(body);
    expect(answer.focus).toMatchObject([{ cause: 'weak-kick-support', chosenBy: 'coach' }]);
    expect(answer.excludedDrills).toContainEqual(
      expect.objectContaining({ code: 'head-lead-kick', reason: 'refused-by-coach' }),
    );
    expect(answer.drills.map((d: { code: string }) => d.code)).not.toContain('head-lead-kick');
  });

  test('complains about nothing', () => {
    // the browser reports the 400 of the mistake above as a failed resource, which it is meant to be
    expect(browser.complaints.filter((text) => !text.includes('400'))).toEqual([]);
  });
});
