/** The service itself, started on rule sets of which one was changed after it was published. */
import { expect, test } from 'vitest';
import { findVersion, readLock, writeLock } from '../../src/knowledge/lock-files.ts';
import { shipped } from '../knowledge/shipped.ts';
import { rewrite, runScript, temporaryCopy } from './temporary-copy.ts';

const FOLDER = 'rules/front-crawl/1.0.0';

/** A copy in which front crawl is published as it stands. */
async function published(): Promise<string> {
  const root = await temporaryCopy();
  await rewrite(root, `${FOLDER}/rule-set.json`, (t) =>
    t.replace(/"status": "\w+"/, '"status": "published"'),
  );
  const { files } = await findVersion('front-crawl@1.0.0', `${root}/${FOLDER}`);
  const entry = { digest: shipped.digest, files: Object.fromEntries(files) };
  await writeLock(`${root}/rules`, { ...(await readLock(`${root}/rules`)), 'front-crawl@1.0.0': entry });
  return root;
}

test('the service starts on a version that is as it was published', async () => {
  const { code, printed } = await runScript(await published(), 'src/main.ts');
  expect(printed).toContain('documentation: http');
  expect(code).toBe(0);
});

test.each([
  ['a changed word', 'texts/en.json', (t: string) => t.replace('e', 'a')],
  ['a space more', 'links.json', (t: string) => `${t} `],
  ['text that is no JSON', 'drills.json', (t: string) => t.slice(1)],
])('the service does not start on %s, and names the file', async (_, file, change) => {
  const root = await published();
  await rewrite(root, `${FOLDER}/${file}`, change);
  const { code, printed } = await runScript(root, 'src/main.ts');
  expect(printed.trim().split('\n')).toEqual([
    'published rule sets are not as they were published:',
    `  front-crawl/1.0.0/${file} was changed after front-crawl@1.0.0 was published; a published version cannot change: undo it, or make a new version`,
  ]);
  expect(code).toBe(1);
});

test('the service does not start without its lock', async () => {
  const root = await temporaryCopy();
  await rewrite(root, 'rules/lock.json', () => '{');
  const { code, printed } = await runScript(root, 'src/main.ts');
  expect(printed).toContain('lock.json#');
  expect(code).toBe(1);
});
