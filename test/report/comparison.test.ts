/** Reports of comparisons: valid pages without scripts, escaped, without one figure of improvement. All records are invented. */
import { readdir, readFile } from 'node:fs/promises';
import { HtmlValidate } from 'html-validate';
import { describe, expect, test } from 'vitest';
import { compare } from '../../src/compare/compare.ts';
import type { ComparisonAnswer, ComparisonRequest, FullComparison } from '../../src/contract/comparison.ts';
import type { Audience } from '../../src/report/audience.ts';
import { comparisonReport } from '../../src/report/comparison.ts';
import { toHtml } from '../../src/report/html.ts';
import { toMarkdown } from '../../src/report/markdown.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const FOLDER = new URL('../../openapi/examples/compare/', import.meta.url);
const files = (await readdir(FOLDER)).filter((f) => f.endsWith('.json')).sort();
const AUDIENCES: readonly Audience[] = ['coach', 'swimmer'];
const HOSTILE = `<script>alert(1)</script> "q" & <img src=x onerror=alert(2)>`;

const requestOf = async (file: string): Promise<ComparisonRequest> =>
  JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request;
const answerTo = async (request: ComparisonRequest): Promise<ComparisonAnswer> =>
  (await compare(request, ruleSet)) as ComparisonAnswer;
const validator = new HtmlValidate({
  extends: ['html-validate:standard', 'html-validate:a11y'],
  rules: { 'no-inline-style': 'off' },
});
async function faultsOf(html: string): Promise<string[]> {
  const { results } = await validator.validateString(html);
  return results.flatMap((r) => r.messages.map((m) => `${m.ruleId}: ${m.message}`));
}

describe.each(files)('%s', async (file) => {
  const answer = await answerTo(await requestOf(file));

  test.each(AUDIENCES)('is a valid page for the %s, without script or outside resource', async (audience) => {
    const html = toHtml(comparisonReport(answer, audience, undefined, ruleSet));
    expect(await faultsOf(html)).toEqual([]);
    expect(html).not.toMatch(/<script|<link|<iframe|@import|url\(|(?:src|href)\s*=/i);
  });

  test.each(AUDIENCES)('gives the %s no percentage of improvement', (audience) => {
    const words = toMarkdown(comparisonReport(answer, audience, undefined, ruleSet));
    expect(words).not.toMatch(/improve\w*[^.\n]*%|%[^.\n|]*improve/i);
    if (audience === 'swimmer') expect(words).not.toMatch(/%|\bdB\b|\bweight\b|not comparable|verdict/i);
  });

  test('names what else differed before what changed', () => {
    const { blocks } = comparisonReport(answer, 'coach', undefined, ruleSet);
    const headings = blocks.flatMap((b) => (b.kind === 'heading' ? [b.text] : []));
    expect(headings.slice(0, 2)).toEqual(['What else differed', 'What changed']);
  });

  test('tells the coach every change, with its verdict; causes that stayed in one line', () => {
    const { changes } = answer as FullComparison;
    const report = comparisonReport(answer, 'coach', undefined, ruleSet);
    const table = report.blocks.find((b) => b.kind === 'table');
    const still = changes.filter((c) => c.kind === 'cause' && c.verdict === 'no-change-seen');
    expect(table?.kind === 'table' && table.rows.length).toBe(changes.length - still.length);
    const line = report.blocks.find(
      (b) => b.kind === 'text' && b.text.startsWith('No change seen in these causes'),
    );
    for (const { label } of still) expect(line?.kind === 'text' && line.text).toContain(label);
  });
});

test('the swimmer reads first what got better, by name', async () => {
  const answer = await answerTo(await requestOf(files[0] as string));
  const words = toMarkdown(comparisonReport(answer, 'swimmer', undefined, ruleSet));
  const better = (answer as FullComparison).changes.filter(
    (c) => c.verdict === 'clear-change' && c.direction === 'better' && c.kind !== 'cause',
  );
  expect(better.length).toBeGreaterThan(0);
  for (const { label } of better) expect(words).toContain(label);
  expect(words.indexOf('What got better')).toBeLessThan(words.indexOf('What comes next'));
  expect(words).toContain('technique takes weeks to months');
});

test('films of another pace are called not comparable, kindly for the swimmer', async () => {
  const answer = await answerTo(await requestOf(files[1] as string));
  expect(toMarkdown(comparisonReport(answer, 'coach', undefined, ruleSet))).toContain('Not comparable');
  expect(toMarkdown(comparisonReport(answer, 'swimmer', undefined, ruleSet))).toContain(
    'cannot be set side by side',
  );
});

test.each(AUDIENCES)('what a user typed stands in the page for the %s as text', async (audience) => {
  const request = await requestOf(files[0] as string);
  const records = request.records.map((r) => ({ ...r, label: HOSTILE }));
  const html = toHtml(comparisonReport(await answerTo({ ...request, records }), audience, HOSTILE, ruleSet));
  expect(html).not.toMatch(/<script>|<img/);
  expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
});

test('a stop gives cautions and nothing else', async () => {
  const request = await requestOf(files[0] as string);
  const last = request.records.at(-1) as ComparisonRequest['records'][number];
  const stopped = { ...last, request: { ...last.request, health: { asked: true, signs: ['fainting'] } } };
  const answer = await answerTo({ ...request, records: [...request.records.slice(0, -1), stopped] });
  const { blocks } = comparisonReport(answer, 'swimmer', 'remark', ruleSet);
  expect(blocks.map((b) => b.kind)).toEqual(['blank', 'text', 'text', 'list']);
});

test('nothing judged and sixty things judged both have a page', async () => {
  const [first, last] = (await requestOf(files[0] as string)).records as [
    ComparisonRequest['records'][number],
    ComparisonRequest['records'][number],
  ];
  const crowd = (severity: 0 | 3) =>
    ruleSet.parts.observations.slice(0, 60).map((o) => ({
      code: o.code,
      ...(o.sided ? { side: 'both' as const } : {}),
      severity,
      certainty: 'likely' as const,
    }));
  for (const [a, b] of [
    [[], []],
    [crowd(3), crowd(0)],
  ] as const) {
    const bare = { swimmer: first.request.swimmer, health: { asked: true } };
    const answer = await answerTo({
      records: [
        { ...first, request: { ...bare, observations: [...a] } },
        { ...last, request: { ...bare, observations: [...b] } },
      ],
    });
    for (const audience of AUDIENCES)
      expect(await faultsOf(toHtml(comparisonReport(answer, audience, undefined, ruleSet)))).toEqual([]);
  }
});
