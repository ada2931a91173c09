/** `publish`: a draft that passes every check becomes a version that can no longer change. */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { lockFaults } from '../../knowledge/lock.ts';
import { findVersion, readLock, writeLock } from '../../knowledge/lock-files.ts';
import { checkLibrary } from './check.ts';
import { type OnDisk, readLibrary } from './library.ts';
import type { Outcome } from './outcome.ts';

const DRAFT = /"status":\s*"draft"/;

const refusal = (id: string, message: string): Outcome => ({
  ok: false,
  lines: [`${id} is not published: ${message}`],
  json: { ruleSet: id, published: false, because: message },
});

/** Only the two fields are touched, so that the file reads as before. */
async function markPublished({ folder }: OnDisk, date: string): Promise<void> {
  const file = join(folder, 'rule-set.json');
  const text = await readFile(file, 'utf8');
  await writeFile(file, text.replace(DRAFT, `"status": "published",\n  "published": "${date}"`));
}

/** @param date the day of publishing, as 2026-11-25: given by whoever publishes, because the day is part of the file. */
export async function publish(folder: string, date: string): Promise<Outcome> {
  const library = await readLibrary(folder);
  const { id, root, ruleSet } = library;
  const lock = await readLock(root);
  if (lock[id] !== undefined) {
    const faults = lockFaults(lock, [await findVersion(id, library.folder)]).filter((f) => f.version === id);
    if (faults.length > 0) return refusal(id, faults.map((f) => f.message).join('; '));
    return {
      ok: true,
      lines: [`${id} is published already, as it stands`],
      json: { ruleSet: id, published: true },
    };
  }
  const { name, version, status } = ruleSet.manifest;
  if (`${name}@${version}` !== id) return refusal(id, `its manifest says ${name}@${version}`);
  if (status !== 'draft')
    return refusal(id, `its manifest says "${status}", and only a draft can be published`);
  const checked = checkLibrary(library, true);
  if (!checked.ok) {
    const { lines, json } = refusal(id, 'the check above fails');
    return {
      ok: false,
      lines: [...checked.lines, ...lines],
      json: { ...(json as object), check: checked.json },
    };
  }
  await markPublished(library, date);
  const { files } = await findVersion(id, library.folder);
  await writeLock(root, { ...lock, [id]: { digest: ruleSet.digest, files: Object.fromEntries(files) } });
  return {
    ok: true,
    lines: [...checked.lines, `${id} is published on ${date} as ${ruleSet.digest}; it can no longer change`],
    json: { ruleSet: id, published: true, digest: ruleSet.digest, check: checked.json },
  };
}
