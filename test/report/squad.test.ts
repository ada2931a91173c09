/** The lane plan and the swimmers' sheets: valid pages without scripts, hostile texts as text, nobody left out. */
import { readdir, readFile } from 'node:fs/promises';
import { HtmlValidate } from 'html-validate';
import { describe, expect, test } from 'vitest';
import type { SquadAnswer, SquadMember, SquadRequest } from '../../src/contract/squad.ts';
import type { Audience } from '../../src/report/audience.ts';
import { toHtml } from '../../src/report/html.ts';
import { toMarkdown } from '../../src/report/markdown.ts';
import { squadReport } from '../../src/report/squad.ts';
import { squad } from '../../src/squad/squad.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const FOLDER = new URL('../../openapi/examples/squad/', import.meta.url);
const files = (await readdir(FOLDER)).filter((f) => f.endsWith('.json')).sort();
const requests = (
  await Promise.all(files.map(async (file) => JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'))))
).flatMap(({ request }, i): [string, SquadRequest][] =>
  request === undefined ? [] : [[files[i] as string, request]],
);
const AUDIENCES: readonly Audience[] = ['coach', 'swimmer'];
const HOSTILE = `<script>alert(1)</script> =HYPERLINK("x") 'single' & <img src=x onerror=alert(2)> [link](javascript:alert(3)) | cell`;

const validator = new HtmlValidate({
  extends: ['html-validate:standard', 'html-validate:a11y'],
  rules: { 'no-inline-style': 'off' },
});
async function faultsOf(html: string): Promise<string[]> {
  const checked = await validator.validateString(html);
  return checked.results.flatMap((r) => r.messages.map((m) => `${m.ruleId}: ${m.message}`));
}
const refsOf = ({ groups, apart }: SquadAnswer): string[] =>
  [...groups.flatMap((g) => g.members), ...apart].map((m) => m.ref);

describe.each(requests)('%s', (_, request) => {
  test.each(AUDIENCES)('is a valid page for the %s, without script or outside resource', async (audience) => {
    const html = toHtml(squadReport(await squad(request, ruleSet), audience, ruleSet));
    expect(await faultsOf(html)).toEqual([]);
    expect(html).not.toMatch(/<script|<link|<iframe|@import|url\(|(?:src|href)\s*=/i);
  });

  test('names everybody to the coach, with lane, reason and session', async () => {
    const answer = await squad(request, ruleSet);
    const words = JSON.stringify(squadReport(answer, 'coach', ruleSet).blocks);
    for (const ref of refsOf(answer)) expect(words).toContain(ref);
    for (const { because, place } of answer.groups.flatMap((g) => g.members))
      if (place !== 'first-focus') expect(words).toContain(JSON.stringify(because.text).slice(1, -1));
    for (const a of answer.apart) expect(words).toContain(a.because.text);
    for (const block of answer.groups.flatMap((g) => g.session.blocks))
      expect(words).toContain(`${block.minutes} min, ${block.label}`);
  });

  test('gives each swimmer a sheet that speaks of nobody else and of no method', async () => {
    const answer = await squad(request, ruleSet);
    const refs = refsOf(answer);
    const sheets = toMarkdown(squadReport(answer, 'swimmer', ruleSet))
      .replaceAll('\\', '')
      .split('\n\n---\n\n');
    expect(sheets.length).toBe(refs.length);
    sheets.forEach((sheet, i) => {
      expect(refs.filter((ref) => sheet.includes(ref))).toEqual([refs[i]]);
      expect(sheet).not.toMatch(/deciban|\bdB\b|sha-256|probab|, \d+ %|\[judgement|\[published|\bweight\b/);
    });
  });
});

test('a swimmer who must stop reads only that, and a swimmer in pain nothing that loads the part', async () => {
  const [, request] = requests.find(([file]) => file.includes('pain')) as [string, SquadRequest];
  const answer = await squad(request, ruleSet);
  const sheets = toMarkdown(squadReport(answer, 'swimmer', ruleSet)).split('\n\n---\n\n');
  const of = (status: string): string =>
    sheets.find((s) =>
      s.includes((answer.apart.find((a) => a.status === status)?.ref ?? '').replace('-', '\\-')),
    ) ?? '';
  expect(of('stop')).toContain('stay out of the water');
  expect(of('stop')).not.toMatch(/###/);
  expect(of('refer')).toContain('qualified clinician');
});

test('a sheet leaves out no caution that has words for the swimmer', async () => {
  const member: SquadMember = {
    swimmer: { ref: 'a', level: 'novice', goal: 'open-water' },
    health: {
      asked: true,
      conditions: ['asthma', 'hypermobility', 'fused-joint', 'past-near-drowning'],
      pain: [{ site: 'shoulder', side: 'left', score: 2 }],
    },
  };
  const answer = await squad({ lanes: 1, minutes: 45, members: [member] }, ruleSet);
  const words = answer.cautions.flatMap((c) => ruleSet.texts.cautions[c.code]?.toSwimmer ?? []);
  expect(words.length).toBeGreaterThan(5);
  const sheet = JSON.stringify(squadReport(answer, 'swimmer', ruleSet).blocks);
  for (const caution of words) expect(sheet).toContain(caution);
});

describe('what a user typed', () => {
  const member = (ref: string): SquadMember => ({
    swimmer: { ref, level: 'novice' },
    health: { asked: true },
    observations: [{ code: 'head-held-high', severity: 3, certainty: 'sure' }],
    coach: { remarks: HOSTILE },
  });

  test.each(AUDIENCES)('stands in the page for the %s as text', async (audience) => {
    const ref = HOSTILE.slice(0, 60);
    const answer = await squad({ lanes: 1, minutes: 45, members: [member(ref), member('b')] }, ruleSet);
    const report = squadReport(answer, audience, ruleSet);
    const html = toHtml(report);
    expect(await faultsOf(html)).toEqual([]);
    expect(html).not.toMatch(/<script>|<img/);
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    const markdown = toMarkdown(report);
    expect(markdown).toContain('\\[link\\]\\(javascript:alert\\(3\\)\\)');
    expect(markdown).not.toMatch(/(?<!\\)<script/);
  });
});

test('bare records and crowded ones both have a report', async () => {
  const crowded = ruleSet.parts.observations
    .filter((o) => !['shoulder-pain-report', 'neck-or-back-complaint'].includes(o.code))
    .slice(0, 60)
    .map((o) => ({ code: o.code, ...(o.sided ? { side: 'both' as const } : {}), severity: 2 }));
  for (const observations of [[], crowded]) {
    const members = Array.from(
      { length: 9 },
      (_, i): SquadMember => ({
        swimmer: { ref: `S-${i}`, level: 'intermediate' },
        health: { asked: true },
        observations,
      }),
    );
    for (const audience of AUDIENCES) {
      const answer = await squad({ lanes: 2, minutes: 60, members }, ruleSet);
      expect(await faultsOf(toHtml(squadReport(answer, audience, ruleSet)))).toEqual([]);
    }
  }
});
