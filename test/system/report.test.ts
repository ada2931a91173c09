/** Reports in a real browser: the rules of axe (WCAG 2.2), on A4 and on a phone, and at most two pages for the swimmer. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createApp } from '../../src/server/start.ts';
import { ruleSet } from '../assess/front-crawl.ts';
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
  'compare/04-three-films-and-a-plan',
  'plan/01-three-sessions-a-week',
  'plan/02-a-mild-ache',
  'plan/03-junior-squad',
  'plan/04-chest-sign',
];
const faults = ruleSet.parts.observations.filter((o) => o.polarity === 'fault');
const ADDRESS: Readonly<Record<string, string>> = {
  assess: 'assessments',
  compare: 'comparisons',
  plan: 'plans',
};

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
  return reportOn(ADDRESS[story.split('/')[0] as string] as string, request, audience);
}

async function reportOn(address: string, request: unknown, audience: string): Promise<string> {
  const reply = await app.inject({
    method: 'POST',
    url: `/v1/${address}?audience=${audience}`,
    headers: { 'content-type': 'application/json', accept: 'text/html' },
    payload: JSON.stringify(request),
  });
  expect(reply.statusCode, reply.body).toBe(200);
  expect(reply.headers['content-disposition']).toBe(
    `attachment; filename="${address.slice(0, -1)}-${audience}.html"`,
  );
  return reply.body;
}

async function violations(page: Browser['page']): Promise<unknown> {
  await page.addScriptTag({ path: AXE });
  return page.evaluate('axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.help))');
}

async function pagesOnA4(page: Browser['page']): Promise<number> {
  const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
  return (pdf.match(/\/Type\s*\/Page[^s]/g) ?? []).length;
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
    expect(await violations(page)).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth')).toBe(true);
  });

  test('the swimmer gets at most two pages of A4', async () => {
    const { page } = browser;
    await page.setContent(await pageOf(story, 'swimmer'));
    expect(await pagesOnA4(page)).toBeLessThanOrEqual(2);
  });
});

/** Every fault there is room for, every condition that adds a caution, and a remark that would like to be code. */
const HOSTILE = '"><script>window.hit = 1</script><img src=x onerror="window.hit = 1"> & \u202e';
const recordOf = (findings: number, severity: number) => ({
  swimmer: { level: 'novice', age: 15, goal: 'open-water', equipment: ['fins', 'paddles', 'wetsuit'] },
  health: { asked: true, conditions: ['asthma', 'hypermobility'] },
  recording: { views: ['side-under', 'front-under', 'overhead', 'rear', 'side-above'], suit: 'wetsuit' },
  observations: faults.slice(0, findings).map(({ code, sided }) => ({
    code,
    ...(sided ? { side: 'both' } : {}),
    severity,
    certainty: 'sure',
    note: HOSTILE,
  })),
  coach: { remarks: HOSTILE.repeat(3) },
});
const pairOf = (findings: number) => ({
  records: [3, 1].map((severity, i) => ({
    at: `2026-0${i + 1}-05T10:00:00Z`,
    label: HOSTILE.slice(0, 60),
    request: recordOf(findings, severity),
  })),
});

describe.each([0, 40])('with %i findings and hostile words', (findings) => {
  test.each([
    ['assessments', 'coach'],
    ['assessments', 'swimmer'],
    ['comparisons', 'coach'],
    ['comparisons', 'swimmer'],
  ])(
    '%s for the %s: nothing runs, axe objects to nothing, at most two pages for a swimmer',
    async (address, audience) => {
      const { page } = browser;
      await page.setViewportSize({ width: 390, height: 1400 });
      const request = address === 'assessments' ? recordOf(findings, 2) : pairOf(findings);
      await page.setContent(await reportOn(address, request, audience));
      expect(await page.evaluate('window.hit')).toBeUndefined();
      expect(await page.evaluate('document.querySelectorAll("script, img, link, iframe").length')).toBe(0);
      expect(await violations(page)).toEqual([]);
      expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth')).toBe(true);
      await browser.screenshot(`extreme-${address}-${audience}-${findings}`);
      if (audience === 'swimmer') expect(await pagesOnA4(page)).toBeLessThanOrEqual(2);
    },
  );
});
