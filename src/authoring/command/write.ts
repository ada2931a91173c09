/** `write`: a draft, as `POST /v1/drafts/check` takes it, becomes a folder. */
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { createCatalogue } from '../../knowledge/catalogue.ts';
import { loadAll } from '../../knowledge/load.ts';
import { readLock } from '../../knowledge/lock-files.ts';
import { Manifest } from '../../knowledge/parts.ts';
import { buildDraft, type Library, sourceOf } from '../draft/build.ts';
import { DraftInvalid } from '../draft/mistakes.ts';
import type { Source } from '../draft/overlay.ts';
import { starterOf } from '../draft/starter.ts';
import { starterCases } from '../draft/starter-cases.ts';
import { readCases } from '../library.ts';
import { Misuse, type Outcome } from './outcome.ts';

const Written = z.object({
  base: z.string().nullable(),
  draft: z.object({
    upsert: z.record(z.string(), z.unknown()).optional(),
    remove: z.record(z.string(), z.unknown()).optional(),
  }),
});

async function baseOf(root: string, base: string | null): Promise<Source> {
  const catalogue = createCatalogue(await loadAll(root));
  const ruleSet = catalogue.resolve(base ?? undefined);
  if (ruleSet === undefined) throw new Misuse(`there is no rule set ${base} under ${root}`);
  const cases = await readCases(root, ruleSet);
  if (base !== null) return sourceOf({ ruleSet, cases });
  const starter = starterOf(ruleSet);
  return { ...starter, cases: starterCases(starter, cases) };
}

async function writeFolder(
  folder: string,
  manifest: Manifest,
  { ruleSet, cases }: Library,
): Promise<string[]> {
  const [language = 'en'] = manifest.languages;
  const files: [string, unknown][] = [
    ['rule-set.json', manifest],
    ...Object.entries(ruleSet.parts).map(([part, content]): [string, unknown] => [`${part}.json`, content]),
    [`texts/${language}.json`, ruleSet.texts],
    ['cases/cases.json', cases],
  ];
  await mkdir(join(folder, 'texts'), { recursive: true });
  await mkdir(join(folder, 'cases'), { recursive: true });
  for (const [name, content] of files)
    await writeFile(join(folder, name), `${JSON.stringify(content, null, 2)}\n`);
  return files.map(([name]) => name);
}

/**
 * @param file `{"base", "draft"}`; the name, version and title stand in `draft.upsert["rule-set"]`.
 * @throws DraftInvalid with every mistake in the draft.
 */
export async function write(file: string, root: string): Promise<Outcome> {
  const parsed = Written.safeParse(JSON.parse(await readFile(file, 'utf8')));
  if (!parsed.success) throw new Misuse(`${file} must hold {"base": …, "draft": {"upsert": …}}`);
  const source = await baseOf(root, parsed.data.base);
  const built = buildDraft(source, parsed.data.draft);
  const { published: _published, ...head } = built.ruleSet.manifest;
  const version = head.version.replace(/-draft$/, '');
  const manifest = Manifest.parse({ ...head, version, languages: head.languages.slice(0, 1) });
  const id = `${manifest.name}@${version}`;
  if (
    id === `${source.manifest.name}@${source.manifest.version}` ||
    parsed.data.draft.upsert?.['rule-set'] === undefined
  )
    throw new DraftInvalid([
      {
        pointer: '/draft/upsert/rule-set',
        code: 'required',
        message: `must give a name and a version of its own, not ${id}`,
      },
    ]);
  if ((await readLock(root))[id] !== undefined)
    return {
      ok: false,
      lines: [`${id} is published and can no longer change`],
      json: { ruleSet: id, written: [] },
    };
  const folder = join(root, manifest.name, version);
  const written = await writeFolder(folder, manifest, built);
  return {
    ok: true,
    lines: [`${id} is written to ${folder}, ${written.length} files`],
    json: { ruleSet: id, folder, written },
  };
}
