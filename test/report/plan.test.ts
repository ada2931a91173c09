/** Reports of plans: valid pages without scripts, escaped; the coach reads every week and decision, the swimmer what to do. */
import { readdir, readFile } from 'node:fs/promises';
import { HtmlValidate } from 'html-validate';
import { describe, expect, test } from 'vitest';
import type { FullPlanAnswer, PlanRequest } from '../../src/contract/plan.ts';
import { plan } from '../../src/plan/plan.ts';
import type { Audience } from '../../src/report/audience.ts';
import { toHtml } from '../../src/report/html.ts';
import { toMarkdown } from '../../src/report/markdown.ts';
import { planReport } from '../../src/report/plan.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const FOLDER = new URL('../../openapi/examples/plan/', import.meta.url);
const files = (await readdir(FOLDER)).filter((f) => f.endsWith('.json')).sort();
const AUDIENCES: readonly Audience[] = ['coach', 'swimmer'];
const HOSTILE = `<script>alert(1)</script> "q" & <img src=x onerror=alert(2)>`;

const requestOf = async (file: string): Promise<PlanRequest> =>
  JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request;
const validator = new HtmlValidate({
  extends: ['html-validate:standard', 'html-validate:a11y'],
  rules: { 'no-inline-style': 'off' },
});

describe.each(files)('%s', async (file) => {
  const answer = await plan(await requestOf(file), ruleSet);

  test.each(AUDIENCES)('is a valid page for the %s, without script or outside resource', async (audience) => {
    const html = toHtml(planReport(answer, audience, undefined, ruleSet));
    const { results } = await validator.validateString(html);
    expect(results.flatMap((r) => r.messages.map((m) => `${m.ruleId}: ${m.message}`))).toEqual([]);
    expect(html).not.toMatch(/<script|<link|<iframe|@import|url\(|(?:src|href)\s*=/i);
  });

  test.each(AUDIENCES)('shows the remarks to the %s as text', async (audience) => {
    const report = planReport(answer, audience, HOSTILE, ruleSet);
    expect(toHtml(report)).not.toContain('<script>');
    const told = JSON.stringify(report).includes('alert(1)');
    expect(told).toBe(answer.status !== 'stop');
  });

  test('speaks to the swimmer without figures of the method, and leaves a line for the name', () => {
    const report = planReport(answer, 'swimmer', undefined, ruleSet);
    expect(report.blocks[0]?.kind).toBe('blank');
    expect(toMarkdown(report)).not.toMatch(/\bdB\b|probability|sha-256|believable|undefined|\{\w+\}/);
  });

  test('tells the coach in words, with nothing left to fill in', () => {
    const words = toMarkdown(planReport(answer, 'coach', undefined, ruleSet));
    expect(words).not.toMatch(/undefined|\{\w+\}|\.\./);
  });
});

describe('the coach', () => {
  test('reads every week, checkpoint, decision and caution', async () => {
    const answer = (await plan(await requestOf(files[0] as string), ruleSet)) as FullPlanAnswer;
    const words = JSON.stringify(planReport(answer, 'coach', undefined, ruleSet));
    for (const week of answer.plan.weeks) expect(words).toContain(`Week ${week.week}: ${week.label}`);
    for (const c of answer.plan.checkpoints) expect(words).toContain(JSON.stringify(c.text).slice(1, -1));
    for (const d of answer.plan.checkpoints.flatMap((c) => c.decisions)) expect(words).toContain(d.text);
    for (const k of answer.cautions) expect(words).toContain(k.text);
  });

  test('reads sessions that come again once', async () => {
    const answer = (await plan(await requestOf(files[0] as string), ruleSet)) as FullPlanAnswer;
    const [first, second] = answer.plan.weeks;
    expect(second?.sessions).toEqual(first?.sessions);
    const words = JSON.stringify(planReport(answer, 'coach', undefined, ruleSet));
    expect(words).toContain('The sessions are those of week 1.');
  });
});

test('a stop holds the cautions and nothing else', async () => {
  const answer = await plan(await requestOf(files[3] as string), ruleSet);
  for (const audience of AUDIENCES)
    expect(planReport(answer, audience, 'remark', ruleSet).blocks.map((b) => b.kind)).toEqual([
      'blank',
      'text',
      'list',
    ]);
});
