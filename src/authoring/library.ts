/** The case library of a rule set on disk: `cases/*.json` beside its parts. */
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { type RuleSetError, RuleSetInvalid } from '../knowledge/errors.ts';
import { readFileAs } from '../knowledge/load.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { Case } from './cases.ts';

/** Cases by the name of their file, in the order of names. @throws RuleSetInvalid with every fault. */
export async function readCaseFiles(folder: string): Promise<ReadonlyMap<string, readonly Case[]>> {
  const names = (await readdir(join(folder, 'cases')).catch(() => []))
    .filter((f) => f.endsWith('.json'))
    .sort();
  const files = await Promise.all(names.map((name) => readFileAs(folder, `cases/${name}`, z.array(Case))));
  const errors = files.flatMap((file) => file.errors);
  const known = new Map<string, string>();
  names.forEach((name, i) => {
    for (const { id } of files[i]?.value ?? []) {
      const first = known.get(id);
      if (first !== undefined) errors.push(twice(id, name, first));
      known.set(id, name);
    }
  });
  if (errors.length > 0) throw new RuleSetInvalid(folder.split('/').slice(-2).join('/'), errors);
  return new Map(names.map((name, i) => [name, files[i]?.value ?? []]));
}

function twice(id: string, file: string, first: string): RuleSetError {
  const message =
    first === file ? `the case "${id}" stands here twice` : `the case "${id}" also stands in ${first}`;
  return { file: `cases/${file}`, pointer: '', code: 'duplicate-code', message };
}

/** Every case of a rule set under `root`. */
export async function readCases(root: string, { manifest }: RuleSet): Promise<readonly Case[]> {
  return [...(await readCaseFiles(join(root, manifest.name, manifest.version))).values()].flat();
}
