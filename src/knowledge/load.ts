/** Reads rule sets from disk: a version is a folder, a part is a file. All faults are reported together. */
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { z } from 'zod';
import { checkTexts } from './check.ts';
import { pointerOf, type RuleSetError, RuleSetInvalid } from './errors.ts';
import { Manifest, PARTS, type PartName, type Parts } from './parts.ts';
import { createRuleSet, type RuleSet } from './rule-set.ts';
import { Texts } from './texts.ts';

async function readPart<T extends z.ZodType>(
  folder: string,
  file: string,
  schema: T,
  errors: RuleSetError[],
): Promise<z.infer<T> | undefined> {
  let raw: unknown;
  try {
    raw = JSON.parse(await readFile(join(folder, file), 'utf8'));
  } catch (error) {
    errors.push({ file, pointer: '', message: (error as Error).message });
    return undefined;
  }
  const parsed = schema.safeParse(raw);
  if (parsed.success) return parsed.data;
  for (const issue of parsed.error.issues)
    errors.push({ file, pointer: pointerOf(issue.path), message: issue.message });
  return undefined;
}

/** One file per language; the first language of the manifest is the one that answers are written in. */
async function readTexts(
  folder: string,
  languages: readonly string[],
  errors: RuleSetError[],
): Promise<Texts[]> {
  const read = await Promise.all(
    languages.map(async (language) => {
      const file = `texts/${language}.json`;
      const texts = await readPart(folder, file, Texts, errors);
      if (texts !== undefined && texts.language !== language)
        errors.push({ file, pointer: '/language', message: `must be "${language}", as the file is named` });
      return texts;
    }),
  );
  return read.filter((texts) => texts !== undefined);
}

/** @param folder such as `rules/front-crawl/1.0.0`. @throws RuleSetInvalid */
export async function loadRuleSet(folder: string): Promise<RuleSet> {
  const errors: RuleSetError[] = [];
  const manifest = await readPart(folder, 'rule-set.json', Manifest, errors);
  const names = Object.keys(PARTS) as PartName[];
  const entries = await Promise.all(
    names.map(async (name) => [name, await readPart(folder, `${name}.json`, PARTS[name], errors)] as const),
  );
  const [texts, ...translations] = await readTexts(folder, manifest?.languages ?? ['en'], errors);
  if (manifest === undefined || texts === undefined || errors.length > 0)
    throw new RuleSetInvalid(folder, errors);
  const parts = Object.fromEntries(entries) as unknown as Parts;
  const untrue = translations.flatMap((translation) => checkTexts(parts, translation));
  if (untrue.length > 0) throw new RuleSetInvalid(folder, untrue);
  return createRuleSet(manifest, parts, texts);
}

/** Every version of every rule set under `root`. @throws RuleSetInvalid for the first folder with faults. */
export async function loadAll(root: string): Promise<RuleSet[]> {
  const sets: RuleSet[] = [];
  const folders = (await readdir(root, { withFileTypes: true })).filter((entry) => entry.isDirectory());
  for (const name of folders.map((entry) => entry.name).sort()) {
    const versions = (await readdir(join(root, name), { withFileTypes: true })).filter((entry) =>
      entry.isDirectory(),
    );
    for (const version of versions.map((entry) => entry.name).sort()) {
      const set = await loadRuleSet(join(root, name, version));
      if (set.manifest.name !== name || set.manifest.version !== version) {
        throw new RuleSetInvalid(`${name}/${version}`, [
          {
            file: 'rule-set.json',
            pointer: '',
            message: `says ${set.manifest.name}@${set.manifest.version}, but stands in ${name}/${version}`,
          },
        ]);
      }
      sets.push(set);
    }
  }
  return sets;
}
