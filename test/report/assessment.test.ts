/** Reports of assessments: valid pages without scripts, everything typed is escaped, plain for the swimmer. */
import { readdir, readFile } from 'node:fs/promises';
import { HtmlValidate } from 'html-validate';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { assessmentReport } from '../../src/report/assessment.ts';
import type { Audience } from '../../src/report/audience.ts';
import { toHtml } from '../../src/report/html.ts';
import { toMarkdown } from '../../src/report/markdown.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const FOLDER = new URL('../../openapi/examples/assess/', import.meta.url);
const files = (await readdir(FOLDER)).filter((f) => f.endsWith('.json')).sort();
const AUDIENCES: readonly Audience[] = ['coach', 'swimmer'];
const HOSTILE = `<script>alert(1)</script> "quoted" 'single' & <img src=x onerror=alert(2)> [link](javascript:alert(3)) | cell\u0000\u0007\u202e`;

async function reportOf(request: AssessmentRequest, audience: Audience) {
  const answer = await assess({ ...request, options: { ...request.options, nextLooks: 2 } }, ruleSet);
  return { answer, report: assessmentReport(answer, audience, request.coach?.remarks, ruleSet) };
}

const requestOf = async (file: string): Promise<AssessmentRequest> =>
  JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request;

/** The HTML standard, as the package html-validate checks it; our own inline style is the one thing that it may hold. */
const validator = new HtmlValidate({
  extends: ['html-validate:standard', 'html-validate:a11y'],
  rules: { 'no-inline-style': 'off' },
});

describe.each(files)('%s', async (file) => {
  const request = await requestOf(file);

  test.each(AUDIENCES)('is a valid page for the %s, without script or outside resource', async (audience) => {
    const html = toHtml((await reportOf(request, audience)).report);
    const checked = await validator.validateString(html);
    expect(checked.results.flatMap((r) => r.messages.map((m) => `${m.ruleId}: ${m.message}`))).toEqual([]);
    expect(html).not.toMatch(/<script|<link|<iframe|@import|url\(|(?:src|href)\s*=/i);
    expect(html.match(/http[^"\s<]*/g) ?? []).toEqual(
      (html.match(/xmlns="[^"]*"/g) ?? []).map((x) => x.slice(7, -1)),
    );
  });

  test('speaks to the swimmer without figures of the method', async () => {
    const { answer, report } = await reportOf(request, 'swimmer');
    const words = toMarkdown(report);
    if (answer.status !== 'stop') expect(words).not.toMatch(/deciban|\bdB\b|sha-256|probab|very likely/);
    expect(words).not.toMatch(/\bweight\b|\bfat\b|\bskinny\b/i);
  });
});

describe('what a user typed', () => {
  test.each(AUDIENCES)('stands in the page for the %s as text', async (audience) => {
    const request = await requestOf(files[0] as string);
    const { report } = await reportOf({ ...request, coach: { remarks: HOSTILE } }, audience);
    const html = toHtml(report);
    expect(html).not.toMatch(/<script>|<img/);
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    const markdown = toMarkdown(report);
    expect(markdown).toContain('\\[link\\]\\(javascript:alert\\(3\\)\\)');
    expect(markdown).not.toMatch(/(?<!\\)<script/);
    expect((html + markdown).replaceAll('\n', '')).not.toMatch(/[\p{Cc}\p{Bidi_Control}]/u);
  });
});

test('an empty record and a crowded one both have a report', async () => {
  const crowded = ruleSet.parts.observations.slice(0, 60).map((o) => ({
    code: o.code,
    ...(o.sided ? { side: 'both' as const } : {}),
    severity: 2,
    certainty: 'likely' as const,
  }));
  for (const observations of [[], crowded]) {
    const { report } = await reportOf(
      { swimmer: { level: 'intermediate' }, health: { asked: true }, observations },
      'coach',
    );
    const checked = await validator.validateString(toHtml(report));
    expect(checked.results.flatMap((r) => r.messages.map((m) => m.message))).toEqual([]);
  }
});
