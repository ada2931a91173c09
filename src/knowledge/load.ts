/** Reads rule sets from disk: a version is a folder, a part is a file. All faults are reported together. */
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { z } from 'zod';
import { checkTexts } from './check.ts';
import { pointerOf, type RuleSetError, RuleSetInvalid } from './errors.ts';
import { Manifest, PARTS, type PartName, type Parts } from './parts.ts';
import { readShape } from './read-shape.ts';
import { createRuleSet, type RuleSet } from './rule-set.ts';
import { Texts } from './texts.ts';

interface Read<T> {
  readonly value: T | undefined;
  readonly errors: readonly RuleSetError[];
}

/** Why a file could not be read, without saying where it stands on this machine. */
function unreadable(error: NodeJS.ErrnoException): { code: string; message: string } {
  if (error instanceof SyntaxError) return { code: 'malformed-json', message: error.message };
  if (error.code === 'ENOENT') return { code: 'missing-file', message: 'the file is missing' };
  return { code: 'missing-file', message: `the file cannot be read (${error.code})` };
}

/** Reads one JSON file of a rule set against its schema. */
export async function readFileAs<T extends z.ZodType>(
  folder: string,
  file: string,
  schema: T,
): Promise<Read<z.infer<T>>> {
  let raw: unknown;
  try {
    raw = JSON.parse(await readFile(join(folder, file), 'utf8'));
  } catch (error) {
    return {
      value: undefined,
      errors: [{ file, pointer: '', ...unreadable(error as NodeJS.ErrnoException) }],
    };
  }
  const { value, mistakes } = readShape(schema, raw);
  return { value, errors: mistakes.map(({ path, ...m }) => ({ file, pointer: pointerOf(path), ...m })) };
}

/** One file per language; the first language of the manifest is the one that answers are written in. */
async function readTexts(folder: string, language: string): Promise<Read<Texts>> {
  const file = `texts/${language}.json`;
  const { value, errors } = await readFileAs(folder, file, Texts);
  if (value === undefined || value.language === language) return { value, errors };
  const message = `must be "${language}", as the file is named`;
  return { value, errors: [...errors, { file, pointer: '/language', code: 'wrong-value', message }] };
}

/**
 * @param folder such as `rules/front-crawl/1.0.0`.
 * @param label what messages call it; the last two parts of its path unless given.
 * @throws RuleSetInvalid with every fault, in the order of the parts.
 */
export async function loadRuleSet(
  folder: string,
  label = folder.split('/').slice(-2).join('/'),
): Promise<RuleSet> {
  const manifest = await readFileAs(folder, 'rule-set.json', Manifest);
  const names = Object.keys(PARTS) as PartName[];
  const languages = manifest.value?.languages ?? ['en'];
  const [parts, texts] = await Promise.all([
    Promise.all(names.map((name) => readFileAs<z.ZodType>(folder, `${name}.json`, PARTS[name]))),
    Promise.all(languages.map((language) => readTexts(folder, language))),
  ]);
  const errors = [manifest, ...parts, ...texts].flatMap((read) => read.errors);
  const [spoken, ...translations] = texts.map((read) => read.value);
  if (manifest.value === undefined || spoken === undefined || errors.length > 0)
    throw new RuleSetInvalid(label, errors);
  const whole = Object.fromEntries(names.map((name, i) => [name, parts[i]?.value])) as unknown as Parts;
  const untrue = translations.flatMap((translation) =>
    translation === undefined ? [] : checkTexts(whole, translation),
  );
  if (untrue.length > 0) throw new RuleSetInvalid(label, untrue);
  return createRuleSet(manifest.value, whole, spoken);
}

/** Names of the folders in a folder, in order. */
export async function foldersIn(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  return entries
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort();
}

/** Every version of every rule set under `root`. @throws RuleSetInvalid for the first folder with faults. */
export async function loadAll(root: string): Promise<RuleSet[]> {
  const sets: RuleSet[] = [];
  for (const name of await foldersIn(root)) {
    for (const version of await foldersIn(join(root, name))) {
      const label = `${name}/${version}`;
      const set = await loadRuleSet(join(root, name, version), label);
      if (set.manifest.name !== name || set.manifest.version !== version) {
        const message = `says ${set.manifest.name}@${set.manifest.version}, but stands in ${label}`;
        throw new RuleSetInvalid(label, [
          { file: 'rule-set.json', pointer: '', code: 'wrong-value', message },
        ]);
      }
      sets.push(set);
    }
  }
  return sets;
}
