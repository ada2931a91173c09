/** A published version cannot change: every way in which it could is told, with the file. */
import { Buffer } from 'node:buffer';
import { describe, expect, test } from 'vitest';
import {
  digestFaults,
  type FoundVersion,
  fileDigest,
  type Lock,
  lockFaults,
} from '../../src/knowledge/lock.ts';
import { findVersions, readLock } from '../../src/knowledge/lock-files.ts';
import { RULES } from './shipped.ts';

const MANIFEST = '{ "status": "published" }\n';
const contents = (): Record<string, string> => ({
  'rule-set.json': MANIFEST,
  'links.json': '[]\n',
  'texts/en.json': '{}\n',
});

function version(files: Record<string, string>, status = 'published'): FoundVersion {
  const digests = Object.entries(files).map(([f, text]): [string, string] => [
    f,
    fileDigest(f, Buffer.from(text)),
  ]);
  return { id: 'breast-stroke@1.0.0', status, files: new Map(digests) };
}

const DIGEST = `sha-256:${'0'.repeat(64)}`;
const LOCK: Lock = {
  'breast-stroke@1.0.0': { digest: DIGEST, files: Object.fromEntries(version(contents()).files) },
};
const told = (found: readonly FoundVersion[], lock = LOCK): string[] =>
  lockFaults(lock, found).map((f) => `${f.code} ${f.file ?? '-'}`);

describe('a published version', () => {
  test('that is as it was has no fault', () => {
    expect(told([version(contents())])).toEqual([]);
  });

  test.each([
    ['a byte', '[1]\n'],
    ['white space', '[]\n\n'],
    ['a line end', '[]\r\n'],
  ])('names the file in which %s changed', (_, text) => {
    const found = [version({ ...contents(), 'links.json': text })];
    expect(told(found)).toEqual(['changed-file links.json']);
    expect(lockFaults(LOCK, found)[0]?.message).toContain(
      'breast-stroke/1.0.0/links.json was changed after breast-stroke@1.0.0 was published',
    );
  });

  test('names a file that is missing and one that was added', () => {
    const { 'links.json': _, ...rest } = contents();
    expect(told([version({ ...rest, 'more.json': '[]' })])).toEqual([
      'missing-file links.json',
      'added-file more.json',
    ]);
  });

  test('may be retired, and nothing else of its head may change', () => {
    const retired = { ...contents(), 'rule-set.json': '{ "status": "retired" }\n' };
    expect(told([version(retired, 'retired')])).toEqual([]);
    const renamed = { ...contents(), 'rule-set.json': '{ "status": "retired", "title": "x" }\n' };
    expect(told([version(renamed, 'retired')])).toEqual(['changed-file rule-set.json']);
  });

  test('cannot be taken back to a draft', () => {
    expect(told([version(contents(), 'draft')])).toEqual(['locked-draft rule-set.json']);
  });

  test('is missed when its folder is gone', () => {
    expect(told([])).toEqual(['missing-version -']);
  });

  test.each(['published', 'retired'])('that says "%s" and is not in the lock is told', (status) => {
    expect(told([version(contents(), status)], {})).toEqual(['not-locked rule-set.json']);
  });

  test('whose content has another address than it was published with is told', () => {
    const set = (digest: string) => ({ manifest: { name: 'breast-stroke', version: '1.0.0' }, digest });
    expect(digestFaults(LOCK, [set(DIGEST)])).toEqual([]);
    expect(digestFaults(LOCK, [set(`sha-256:${'1'.repeat(64)}`)]).map((f) => f.code)).toEqual([
      'changed-digest',
    ]);
  });
});

test('a draft that is not in the lock is free to change', () => {
  expect(told([version(contents(), 'draft')], {})).toEqual([]);
});

test('the rule sets of this repository are as they were published', async () => {
  expect(lockFaults(await readLock(RULES), await findVersions(RULES))).toEqual([]);
});
