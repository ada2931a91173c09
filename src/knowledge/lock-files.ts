/** The lock on disk: `lock.json` beside the rule sets, and the files that it speaks of. */
import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { RuleSetInvalid } from './errors.ts';
import { foldersIn, readFileAs } from './load.ts';
import { digestFaults, type FoundVersion, fileDigest, Lock, type LockFault, lockFaults } from './lock.ts';
import type { RuleSet } from './rule-set.ts';

const FILE = 'lock.json';

/** A published version is not what it was. The message names every file. */
export class LockBroken extends Error {
  readonly faults: readonly LockFault[];
  constructor(faults: readonly LockFault[]) {
    super(
      `published rule sets are not as they were published:\n${faults.map((f) => `  ${f.message}`).join('\n')}`,
    );
    this.name = 'LockBroken';
    this.faults = faults;
  }
}

/** @throws RuleSetInvalid when it is missing or is no lock. */
export async function readLock(root: string): Promise<Lock> {
  const { value, errors } = await readFileAs(root, FILE, Lock);
  if (value === undefined || errors.length > 0) throw new RuleSetInvalid('locks', errors);
  return value;
}

/** Keys are sorted, so that publishing a version reads as one more entry. */
export async function writeLock(root: string, lock: Lock): Promise<void> {
  const sorted = Object.fromEntries(Object.entries(lock).sort(([a], [b]) => (a < b ? -1 : 1)));
  await writeFile(join(root, FILE), `${JSON.stringify(sorted, null, 2)}\n`);
}

function statusOf(manifest: Buffer | undefined): string | undefined {
  try {
    return (JSON.parse(String(manifest)) as { status?: string }).status;
  } catch {
    // the loader says what is wrong with the file; here only its bytes count
    return undefined;
  }
}

/** @param folder of one version. */
export async function findVersion(id: string, folder: string): Promise<FoundVersion> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const names = entries
    .filter((e) => e.isFile())
    .map((e) => join(e.parentPath, e.name).slice(folder.length + 1))
    .sort();
  const contents = await Promise.all(names.map((name) => readFile(join(folder, name))));
  const files = names.map((name, i): [string, string] => [name, fileDigest(name, contents[i] as Buffer)]);
  return { id, status: statusOf(contents[names.indexOf('rule-set.json')]), files: new Map(files) };
}

/** Every version under `root` as it stands on disk. */
export async function findVersions(root: string): Promise<FoundVersion[]> {
  const names = await foldersIn(root);
  const versions = names.map(async (name) =>
    Promise.all(
      (await foldersIn(join(root, name))).map((v) => findVersion(`${name}@${v}`, join(root, name, v))),
    ),
  );
  return (await Promise.all(versions)).flat();
}

/**
 * Checks that every published version is what it was when it was published.
 * @param load reads the rule sets; not called when a file has changed, because its message would only hide that.
 * @returns the rule sets, and the `name@version` of those that are locked.
 * @throws LockBroken that names every file.
 */
export async function loadLocked(
  root: string,
  load: (root: string) => Promise<readonly RuleSet[]>,
): Promise<{ readonly sets: readonly RuleSet[]; readonly locked: readonly string[] }> {
  const lock = await readLock(root);
  const changed = lockFaults(lock, await findVersions(root));
  if (changed.length > 0) throw new LockBroken(changed);
  const sets = await load(root);
  const moved = digestFaults(lock, sets);
  if (moved.length > 0) throw new LockBroken(moved);
  return { sets, locked: Object.keys(lock).sort() };
}
