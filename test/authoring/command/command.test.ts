/** The bench on folders, run as an author and as CI run it: what it prints, writes and exits with. */
import { cp, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { type Run, rewrite, runScript, temporaryCopy } from '../../server/temporary-copy.ts';

const FRONT_CRAWL = 'rules/front-crawl/1.0.0';
const DAY = ['--date', '2026-11-30'];

const bench = (root: string, ...args: string[]): Promise<Run> =>
  runScript(root, 'src/authoring/command/main.ts', args);

/** A copy in which front crawl is a draft, whatever it is here. */
async function drafted(): Promise<string> {
  const root = await temporaryCopy();
  await rewrite(root, `${FRONT_CRAWL}/rule-set.json`, (t) =>
    t.replace(/"status": "\w+",(\s*"published": "[^"]*",)?/, '"status": "draft",'),
  );
  await rewrite(root, 'rules/lock.json', (t) => {
    const { 'front-crawl@1.0.0': _, ...others } = JSON.parse(t);
    return JSON.stringify(others);
  });
  return root;
}

async function published(): Promise<string> {
  const root = await drafted();
  const { code, printed } = await bench(root, 'publish', FRONT_CRAWL, ...DAY);
  expect(printed).toContain('front-crawl@1.0.0 is published on 2026-11-30 as sha-256:');
  expect(code).toBe(0);
  return root;
}

/** A second version that differs in one link. */
async function withSecond(root: string): Promise<string> {
  const second = 'rules/front-crawl/1.1.0';
  await cp(join(root, FRONT_CRAWL), join(root, second), { recursive: true });
  await rewrite(root, `${second}/rule-set.json`, (t) => t.replace('"1.0.0"', '"1.1.0"'));
  await rewrite(root, `${second}/links.json`, (t) =>
    t.replace('"shows": "usually"', '"shows": "nearly-always"'),
  );
  return second;
}

describe('publish', () => {
  test('lists what no case misses, marks the day, locks the files, and is the same when asked again', async () => {
    const root = await published();
    const manifest = JSON.parse(await readFile(join(root, FRONT_CRAWL, 'rule-set.json'), 'utf8'));
    expect(manifest).toMatchObject({ status: 'published', published: '2026-11-30' });
    const lock = JSON.parse(await readFile(join(root, 'rules/lock.json'), 'utf8'));
    expect(Object.keys(lock['front-crawl@1.0.0'].files)).toContain('texts/en.json');
    const again = await bench(root, 'publish', FRONT_CRAWL, ...DAY);
    expect(again).toEqual({ code: 0, printed: 'front-crawl@1.0.0 is published already, as it stands\n' });
    expect((await runScript(root, 'src/main.ts')).code).toBe(0);
  });

  test('of a version that changed afterwards is refused, and check and start-up name the file', async () => {
    const root = await published();
    await rewrite(root, `${FRONT_CRAWL}/links.json`, (t) => `${t}\n`);
    const told = 'front-crawl/1.0.0/links.json was changed after front-crawl@1.0.0 was published';
    for (const args of [['publish', FRONT_CRAWL, ...DAY], ['check'], ['check', FRONT_CRAWL]]) {
      const { code, printed } = await bench(root, ...args);
      expect(printed).toContain(told);
      expect(code).toBe(1);
    }
    const start = await runScript(root, 'src/main.ts');
    expect(start.printed).toContain(told);
    expect(start.code).toBe(1);
  });

  test('needs a day', async () => {
    const root = await drafted();
    for (const day of [[], ['--date', '30.11.2026']]) {
      const { code, printed } = await bench(root, 'publish', FRONT_CRAWL, ...day);
      expect(printed).toContain('publish needs --date');
      expect(code).toBe(2);
    }
  });

  test('of a draft whose case fails is refused, names the case and writes nothing', async () => {
    const root = await drafted();
    const lock = await readFile(join(root, 'rules/lock.json'), 'utf8');
    const bad = [
      {
        id: 'nobody-is-likely',
        title: 'Nothing seen',
        invented: true,
        request: { swimmer: { level: 'novice' } },
        expect: { likely: [{ code: 'head-high-habit' }] },
        because: 'this is wrong on purpose',
      },
    ];
    await writeFile(join(root, FRONT_CRAWL, 'cases/zz-bad.json'), JSON.stringify(bad));
    const { code, printed } = await bench(root, 'publish', FRONT_CRAWL, ...DAY);
    expect(printed).toContain('nobody-is-likely');
    expect(printed).toContain('front-crawl@1.0.0 is not published: the check above fails');
    expect(code).toBe(1);
    expect(await readFile(join(root, 'rules/lock.json'), 'utf8')).toBe(lock);
    expect(await readFile(join(root, FRONT_CRAWL, 'rule-set.json'), 'utf8')).toContain('"status": "draft"');
  });
});

describe('check', () => {
  test('says what stands and exits with 0, as text and as JSON', async () => {
    const root = await drafted();
    const text = await bench(root, 'check');
    expect(text.printed).toContain(
      'front-crawl@1.0.0 (draft)\n  ok   schema and references\n  ok   lint: clean',
    );
    expect(text.code).toBe(0);
    const json = await bench(root, 'check', FRONT_CRAWL, '--deletions', '--json');
    const [set] = JSON.parse(json.printed).ruleSets;
    expect(set.coverage.rules.share).toBeGreaterThanOrEqual(0.95);
    expect(set.coverage.outcomes.share).toBeGreaterThanOrEqual(0.85);
    expect(set.survivors.every((s: { noticedBy: unknown }) => s.noticedBy === null)).toBe(true);
    expect(set.cases.failed).toEqual([]);
  });

  test('names file and place of a mistake, the lint finding and the folder that is gone', async () => {
    const root = await published();
    const second = await withSecond(root);
    await rewrite(root, `${second}/links.json`, (t) => t.replace('"nearly-always"', '"allways"'));
    const wrong = await bench(root, 'check', second);
    expect(wrong.printed).toContain('links.json#/');
    expect(wrong.code).toBe(1);
    await rewrite(root, `${second}/links.json`, (t) => t.replace('"allways"', '"nearly-always"'));
    await rewrite(root, `${second}/causes.json`, (t) =>
      t.replace(
        /"code": "head-high-habit",/,
        '$& "allow": [{ "lint": "diamond", "because": "an old one" }],',
      ),
    );
    const linted = await bench(root, 'check', second);
    expect(linted.printed).toContain('unused-allow causes head-high-habit');
    expect(linted.code).toBe(1);
    await rewrite(root, 'rules/lock.json', (t) => t.replace('front-crawl@1.0.0', 'front-crawl@0.9.0'));
    const gone = await bench(root, 'check');
    expect(gone.printed).toContain('front-crawl@0.9.0 is published in lock.json, but its folder');
    expect(gone.printed).toContain('says "published", but front-crawl@1.0.0 is not in lock.json');
    expect(gone.code).toBe(1);
  });
});

test('diff tells a changed link in words, and whom it changes', async () => {
  const root = await drafted();
  const second = await withSecond(root);
  const { code, printed } = await bench(root, 'diff', FRONT_CRAWL, second);
  expect(printed).toContain('front-crawl@1.0.0 to front-crawl@1.1.0: 1 changes');
  expect(printed).toContain('more strongly. You say: of 20 swimmers');
  expect(printed).toMatch(/what changes over \d+ cases: [1-9]\d* of them answer differently/);
  expect(code).toBe(0);
  const json = JSON.parse((await bench(root, 'diff', FRONT_CRAWL, second, '--json')).printed);
  expect(json.difference).toHaveLength(1);
  expect(json.impact.changes.length).toBeGreaterThan(0);
});

test('score judges labelled cases, and names the place of one that it cannot read', async () => {
  const root = await drafted();
  const observations = [
    { code: 'head-held-high', severity: 3 },
    { code: 'hips-low', severity: 2 },
  ];
  const one = {
    request: { swimmer: { level: 'novice' }, observations },
    causes: [{ code: 'head-high-habit' }],
  };
  const file = join(root, 'labelled.json');
  await writeFile(file, JSON.stringify({ cases: [one] }));
  const { code, printed } = await bench(root, 'score', FRONT_CRAWL, file);
  expect(printed).toContain('front-crawl@1.0.0: 1 records of 1 swimmers, 1 causes named');
  expect(printed).toContain('Brier score 0.');
  expect(code).toBe(0);
  const strange = structuredClone(one);
  strange.request.observations = [{ code: 'no-such-thing', severity: 1 }];
  await writeFile(file, JSON.stringify({ cases: [one, strange] }));
  const refused = await bench(root, 'score', FRONT_CRAWL, file);
  expect(refused.printed).toContain('labelled.json#/cases/1/request/observations/0/code');
  expect(refused.code).toBe(1);
});

describe('write', () => {
  const head = { name: 'front-crawl', version: '1.2.0' };
  const link = {
    id: 'hips-rise-with-head-down--head-high-habit',
    event: { params: { shows: 'nearly-always' } },
  };

  test('makes a folder of a draft that the bench then reads', async () => {
    const root = await drafted();
    const draft = { base: 'front-crawl@1.0.0', draft: { upsert: { 'rule-set': head, links: [link] } } };
    await writeFile(join(root, 'draft.json'), JSON.stringify(draft));
    const { code, printed } = await bench(root, 'write', 'draft.json');
    expect(printed).toContain('front-crawl@1.2.0 is written');
    expect(code).toBe(0);
    const checked = await bench(root, 'diff', FRONT_CRAWL, 'rules/front-crawl/1.2.0');
    expect(checked.printed).toContain('front-crawl@1.0.0 to front-crawl@1.2.0: 1 changes');
  });

  test('refuses a draft without a version of its own, one with mistakes, and one that is published', async () => {
    const root = await published();
    const say = async (upsert: object): Promise<Run> => {
      await writeFile(
        join(root, 'draft.json'),
        JSON.stringify({ base: 'front-crawl@1.0.0', draft: { upsert } }),
      );
      return bench(root, 'write', 'draft.json');
    };
    expect(await say({ links: [link] })).toMatchObject({ code: 1 });
    const wrong = await say({ 'rule-set': head, links: [{ ...link, id: 'no-such-link' }] });
    expect(wrong.printed).toContain('/draft/upsert/links/0');
    expect(wrong.code).toBe(1);
    await rewrite(root, 'rules/lock.json', (t) => t.replace('"front-crawl@1.0.0"', '"front-crawl@1.2.0"'));
    const locked = await say({ 'rule-set': head, links: [link] });
    expect(locked).toEqual({ code: 1, printed: 'front-crawl@1.2.0 is published and can no longer change\n' });
  });
});

test.each([[[]], [['unknown']], [['diff', FRONT_CRAWL]], [['check', '--strange']], [['score', FRONT_CRAWL]]])(
  'wrong use (%j) prints how to use it and exits with 2',
  async (args) => {
    const { code, printed } = await bench(join(import.meta.dirname, '../../..'), ...args);
    expect(printed).toContain('npm run rules -- <command>');
    expect(code).toBe(2);
  },
);
