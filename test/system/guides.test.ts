/** What the guides say is run: every call, every program, every sum. */
import { execFile } from 'node:child_process';
import { mkdtemp, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { start } from '../../src/server/start.ts';
import { runScript, temporaryCopy } from '../server/temporary-copy.ts';
import { QUIET } from '../settings.ts';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const GUIDES = ['README.md', 'openapi/README.md', 'rules/README.md'] as const;
const texts = new Map(
  await Promise.all(GUIDES.map(async (file) => [file, await readFile(join(ROOT, file), 'utf8')] as const)),
);

interface Block {
  readonly guide: string;
  readonly language: string;
  readonly code: string;
}
const blocks: Block[] = [...texts].flatMap(([guide, text]) =>
  [...text.matchAll(/^```(\w+)\n(.*?)^```$/gms)].map(([, language = '', code = '']) => ({
    guide,
    language,
    code,
  })),
);
const of = (language: string, begins: RegExp): Block[] =>
  blocks.filter((b) => b.language === language && begins.test(b.code));

let service: Awaited<ReturnType<typeof start>>;
beforeAll(async () => {
  service = await start(QUIET);
});
afterAll(() => service.app.close());
const here = (code: string): string => code.replaceAll('http://127.0.0.1:8080', service.url);

const CALLS = of('sh', /^curl /);
const COMMANDS = of('sh', /^npm run rules /);
const PROGRAMS = of('ts', /./);

test('there is something to run in the guides, and nothing that is not run', () => {
  expect([CALLS.length, COMMANDS.length, PROGRAMS.length].map((n) => n > 0)).toEqual([true, true, true]);
  const others = blocks.filter((b) => b.language === 'sh' && ![...CALLS, ...COMMANDS].includes(b));
  // the two commands of the first page are the gate itself
  expect(others.map((b) => b.code.split('\n')[0]?.replace(/ +#.*/, ''))).toEqual(['npm ci && npm run demo']);
});

describe('calls', () => {
  test.each(CALLS)('$guide: $code', async ({ code }) => {
    const { stdout } = await promisify(execFile)('/bin/sh', ['-ec', here(code)], {
      cwd: ROOT,
      maxBuffer: 1 << 26,
    });
    const answers = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    for (const answer of answers) expect(answer).not.toHaveProperty('errors');
    for (const answer of answers) expect(answer.type ?? 'an answer').toBe('an answer');
  });
});

describe('commands for rule authors', () => {
  test.each(COMMANDS)('$guide: $code', async ({ code }) => {
    const root = await temporaryCopy();
    // what they make is here already: it is made again from the draft alone
    await rm(join(root, 'rules/short-backstroke'), { recursive: true });
    const lock = JSON.parse(await readFile(join(root, 'rules/lock.json'), 'utf8'));
    delete lock['short-backstroke@1.0.0'];
    await writeFile(join(root, 'rules/lock.json'), JSON.stringify(lock));
    for (const line of code.trim().split('\n')) {
      const args = line.replace('npm run rules -- ', '').split(' ');
      const { code: exit, printed } = await runScript(root, 'src/authoring/command/main.ts', args);
      expect(exit, printed).toBe(0);
    }
    const draft = JSON.parse(await readFile(join(ROOT, 'rules/drafts/short-backstroke.json'), 'utf8')).draft;
    const read = async (from: string, file: string) =>
      JSON.parse(await readFile(join(from, 'rules/short-backstroke/1.0.0', file), 'utf8'));
    for (const part of Object.keys(draft.upsert).filter((p) => p !== 'cases' && p !== 'rule-set'))
      expect(await read(root, `${part}.json`), part).toEqual(await read(ROOT, `${part}.json`));
  });

  test('each command of the table is one that the bench knows', async () => {
    const commands = [...(texts.get('rules/README.md') as string).matchAll(/^\| `npm run rules -- (\w+)/gm)];
    expect(commands.map(([, name]) => name)).toEqual(['check', 'diff', 'score', 'publish']);
    for (const [, name = ''] of commands) {
      const { printed } = await runScript(ROOT, 'src/authoring/command/main.ts', [name, '--no-such-option']);
      expect(printed).toContain(`  ${name} `);
    }
  });
});

describe('programs', () => {
  test.each(PROGRAMS)('$guide: $code', async ({ code }) => {
    const folder = await mkdtemp(join(tmpdir(), 'program-'));
    await symlink(join(ROOT, 'node_modules'), join(folder, 'node_modules'));
    const { request } = JSON.parse(
      await readFile(join(ROOT, 'openapi/examples/assess/01-high-head.json'), 'utf8'),
    );
    const around = `const items = [{ id: 'a', request: ${JSON.stringify(request)} }];
      const stored: unknown[] = [];
      const store = async (...line: unknown[]) => { stored.push(line); };`;
    const program = here(code).replace(
      "'front-crawl-assessment'",
      JSON.stringify(join(ROOT, 'src/client/index.ts')),
    );
    await writeFile(
      join(folder, 'program.mts'),
      `${around}\n${program}\nconsole.log(JSON.stringify(stored));\n`,
    );
    const { stdout } = await promisify(execFile)(process.execPath, [join(folder, 'program.mts')], {
      maxBuffer: 1 << 26,
    });
    const [[id, answer]] = JSON.parse(stdout) as [[string, { status: string }]];
    expect([id, answer.status]).toEqual(['a', 'ok']);
    await rm(folder, { recursive: true });
  });
});

describe('sums by hand', () => {
  const db = (ratio: number): number => 10 * Math.log10(ratio);
  const share = (total: number): number => 100 / (1 + 10 ** (-total / 10));

  test('of the first page', () => {
    const text = texts.get('README.md') as string;
    const value = db((31.6 * 0.95 + 0.05) / (31.6 * 0.05 + 0.95));
    expect(text).toContain(
      `\`10 log10((31.6 x 0.95 + 0.05) / (31.6 x 0.05 + 0.95)) = ${value.toFixed(1)} dB\``,
    );
  });

  test('of the guide for rule authors', () => {
    const text = texts.get('rules/README.md') as string;
    const stated = [...text.matchAll(/`10 log10\(([\d.]+) \/ ([\d.]+)\)`\s*=\s*(-?[\d.]+)\s+dB/g)];
    expect(stated.length).toBeGreaterThanOrEqual(4);
    for (const [, a, b, said] of stated) expect(db(Number(a) / Number(b)).toFixed(1)).toBe(said);
    const prior = db(0.4 / 0.6);
    const both = prior + db(0.95 / 0.05) + db(0.6 / 0.1);
    const one = prior + db(0.95 / 0.05) + db(0.4 / 0.9);
    expect(text).toContain(`which is ${prior.toFixed(1)} dB`);
    const plain = text.replace(/\s+/g, ' ');
    expect(plain).toContain(`The sum is ${both.toFixed(1)} dB, the probability ${share(both).toFixed(1)} %`);
    expect(plain).toContain(
      `the sum would be ${one.toFixed(1)} dB and the probability ${share(one).toFixed(1)} %`,
    );
  });
});
