/** The file of keys: what it may hold, and that a mistake is named without showing a key. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { keyOf, newKey, readKeys } from '../../../src/server/access/keys.ts';
import { isLoopback } from '../../../src/server/access/loopback.ts';
import { readSettings } from '../../../src/server/config.ts';
import { createApp } from '../../../src/server/start.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'keys-'));
});
afterAll(() => rm(folder, { recursive: true }));
async function file(content: unknown): Promise<string> {
  const path = join(folder, 'keys.json');
  await writeFile(path, typeof content === 'string' ? content : JSON.stringify(content));
  return path;
}
const entry = (id: string) => ({ id, sha256: newKey().sha256, scopes: ['assess'] });
const said = async (path: string): Promise<string> =>
  readKeys(path).then(
    () => 'nothing',
    (error: Error) => error.message,
  );

describe('the file', () => {
  test('all mistakes are named at once', async () => {
    const twice = entry('a');
    const message = await said(
      await file([
        twice,
        { ...entry('b'), sha256: twice.sha256 },
        { ...entry('Club'), scopes: ['all'] },
        { ...entry('c'), key: 'x' },
      ]),
    );
    expect(
      message
        .split('\n')
        .slice(1)
        .map((l) => l.trim().split(':')[0]),
    ).toEqual(['/2/id', '/2/scopes/0', '/3']);
    const other = await said(await file([twice, { ...entry('b'), sha256: twice.sha256 }, { ...entry('a') }]));
    expect(other).toContain('/2/id: stands twice');
    expect(other).toContain('/1/sha256: stands twice');
    expect(other).not.toContain(twice.sha256);
  });

  test('what is not there, not JSON or empty is refused without its content', async () => {
    expect(await said(join(folder, 'nowhere.json'))).toMatch(/cannot be read \(ENOENT\)$/);
    expect(await said(await file('secret {'))).toMatch(/is not JSON$/);
    expect(await said(await file([]))).toContain('wrong');
  });
});

test('a key is known by its digest alone', async () => {
  const { key, sha256 } = newKey();
  const keys = await readKeys(await file([entry('a'), { ...entry('b'), sha256 }, entry('c')]));
  expect(keyOf(key, keys)?.id).toBe('b');
  expect(keyOf(`${key}x`, keys)).toBeUndefined();
  expect(keyOf('', keys)).toBeUndefined();
});

describe('a public address', () => {
  test.each(['127.0.0.1', '127.8.9.1', '::1', 'localhost'])('%s is not one', (host) => {
    expect(isLoopback(host)).toBe(true);
  });
  test.each([
    '0.0.0.0',
    '::',
    '192.0.2.7',
    '10.0.0.1',
    '2001:db8::1',
    'example.org',
    'localhost.example.org',
  ])('%s is one', (host) => {
    expect(isLoopback(host)).toBe(false);
  });

  test('without keys the service does not start there, unless told so', async () => {
    await expect(createApp(readSettings({ HOST: '0.0.0.0' }))).rejects.toThrow(
      /ACCESS_KEYS_FILE.*OPEN_ACCESS=true/,
    );
    const open = await createApp(readSettings({ HOST: '0.0.0.0', OPEN_ACCESS: 'true', LOG_LEVEL: 'silent' }));
    await open.close();
  });
});
