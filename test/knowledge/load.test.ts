import { cp, mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import { RuleSetInvalid } from '../../src/knowledge/errors.ts';
import { loadAll, loadRuleSet } from '../../src/knowledge/load.ts';
import { at, copyOfParts, type copyOfTexts, FRONT_CRAWL, RULES, shipped } from './shipped.ts';

type Parts = ReturnType<typeof copyOfParts>;
type Spoil<T> = (content: T) => void;

const made: string[] = [];
afterEach(async () => {
  await Promise.all(made.splice(0).map((folder) => rm(folder, { recursive: true })));
});

async function emptyRoot(): Promise<string> {
  const root = await mkdtemp(join(tmpdir(), 'rules-'));
  made.push(root);
  return root;
}

/** A copy of the shipped rule set at `front-crawl/1.0.0` of a new root. */
async function copied(): Promise<{ root: string; folder: string }> {
  const root = await emptyRoot();
  const folder = join(root, 'front-crawl', '1.0.0');
  await cp(FRONT_CRAWL, folder, { recursive: true });
  return { root, folder };
}

async function change<T>(folder: string, file: string, spoil: Spoil<T>): Promise<void> {
  const content = JSON.parse(await readFile(join(folder, file), 'utf8')) as T;
  spoil(content);
  await writeFile(join(folder, file), JSON.stringify(content));
}

async function faultsOf(loading: Promise<unknown>): Promise<string[]> {
  const error: unknown = await loading.then(
    () => undefined,
    (e: unknown) => e,
  );
  if (!(error instanceof RuleSetInvalid)) throw new Error(`not refused as invalid: ${String(error)}`);
  for (const e of error.errors) expect(error.message).toContain(`${e.file}#${e.pointer}: ${e.message}`);
  return error.errors.map((e) => `${e.file}#${e.pointer}: ${e.message}`).sort();
}

describe('the rule sets of this repository', () => {
  test('load, each from the folder of its name and version', async () => {
    const sets = await loadAll(RULES);
    expect(sets.map((s) => `${s.manifest.name}@${s.manifest.version}`)).toContain('front-crawl@1.0.0');
  });

  test('have the same digest on every load', async () => {
    const [first, second] = [await loadAll(RULES), await loadAll(RULES)];
    expect(second.map((s) => s.digest)).toEqual(first.map((s) => s.digest));
    expect(first.map((s) => s.digest)).toContain(shipped.digest);
  });

  test('cannot be changed once loaded, at any depth', () => {
    const open: string[] = [];
    const walk = (value: unknown, path: string): void => {
      if (value === null || typeof value !== 'object') return;
      if (!Object.isFrozen(value)) open.push(path);
      for (const [k, v] of Object.entries(value)) walk(v, `${path}/${k}`);
    };
    walk(shipped.manifest, 'manifest');
    walk(shipped.parts, 'parts');
    walk(shipped.texts, 'texts');
    expect(open).toEqual([]);
  });
});

describe('a rule set with faults in several files', () => {
  test('of shape: one refusal names them all, with file and JSON pointer', async () => {
    const { folder } = await copied();
    await change<Parts['links']>(folder, 'links.json', (links) => {
      Object.assign(at(links, 3), {
        conditions: { all: [{ fact: 'hips-low', operator: 'looksLike', value: true }] },
      });
      Object.assign(at(links, 5), { shows: 'often' });
    });
    await change<Parts['modifiers']>(folder, 'modifiers.json', (modifiers) => {
      Object.assign(at(modifiers, 0), { conditions: { any: [] } });
      Object.assign(at(modifiers, 1), {
        conditions: { all: [{ fact: 'hips-low', operator: 'isAssessed', value: true, path: '$.severity' }] },
      });
      at(modifiers, 2).mark = 'somebody said so';
    });
    await change<Parts['causes']>(folder, 'causes.json', (causes) => {
      Object.assign(at(causes, 0), { role: 'boss' });
    });
    await change<ReturnType<typeof copyOfTexts>>(folder, 'texts/en.json', (texts) => {
      Object.assign(texts.causes['body-tilt'] ?? {}, { label: 7 });
    });
    await writeFile(join(folder, 'drills.json'), '[{"code": ');
    await rm(join(folder, 'sessions.json'));

    const faults = await faultsOf(loadRuleSet(folder));
    for (const fault of [
      /^links\.json#\/3\/conditions\/all\/0\/operator: "looksLike" is not an operator$/,
      /^links\.json#\/5\/shows: "shows" is not a field here$/,
      /^modifiers\.json#\/0\/conditions/,
      /^modifiers\.json#\/1\/conditions\/all\/0\/path: "path" is not a field here$/,
      /^modifiers\.json#\/2\/mark: must name a source/,
      /^causes\.json#\/0\/role: must be one of "root", "mechanism", "meta"$/,
      /^texts\/en\.json#\/causes\/body-tilt\/label: must be a text$/,
      /^drills\.json#: Unexpected end of JSON input$/,
      /^sessions\.json#: the file is missing$/,
    ]) {
      expect(
        faults.filter((f) => fault.test(f)),
        String(fault),
      ).toHaveLength(1);
    }
  });

  test('of meaning: one refusal names them all, with file and JSON pointer', async () => {
    const { folder } = await copied();
    const bodyLink = shipped.parts.links.findLastIndex((l) => l.event.params.side === 'body');
    await change<Parts['links']>(folder, 'links.json', (links) => {
      Object.assign(at(links, 0), {
        conditions: { all: [{ fact: 'hip-low', operator: 'isAssessed', value: true }] },
      });
      Object.assign(at(links, 1), {
        conditions: { all: [{ fact: 'level', operator: 'isAssessed', value: true }] },
      });
      at(links, 2).event.params.cause = 'no-such-cause';
      Object.assign(at(links, bodyLink).event.params, { finding: 'rare-thing', shows: 'seldom' });
    });
    await change<Parts['findings']>(folder, 'findings.json', (findings) => {
      findings.push({ ...at(findings, 0), code: 'rare-thing', background: '1-in-5' });
    });
    await change<Parts['drivers']>(folder, 'drivers.json', (drivers) => {
      const driver = at(drivers, 0);
      Object.assign(driver, { driven: driver.driver, infer: false });
    });
    await change<Parts['cautions']>(folder, 'cautions.json', (cautions) => {
      cautions.push(at(cautions, 0));
    });
    await change<ReturnType<typeof copyOfTexts>>(folder, 'texts/en.json', (texts) => {
      delete texts.causes['body-tilt'];
    });
    const driver = at(copyOfParts().drivers, 0).driver;
    const n = { findings: shipped.parts.findings.length, cautions: shipped.parts.cautions.length };
    expect(await faultsOf(loadRuleSet(folder))).toEqual(
      [
        'links.json#/0/conditions/all/0/fact: "hip-low" is not a fact of this rule set',
        'links.json#/1/conditions/all/0/operator: operator "isAssessed" does not fit "level", which is a text fact',
        'links.json#/2/event/params/cause: "no-such-cause" is not a known cause',
        `links.json#/${bodyLink}/event/params/shows: "seldom" is no more than the background of "rare-thing": seeing it would speak against the cause`,
        `drivers.json#/0: drivers run in a circle: ${driver} drives ${driver}`,
        `cautions.json#/${n.cautions}/code: "${at(shipped.parts.cautions, 0).code}" stands here twice`,
        'texts/en.json#/causes: the text of "body-tilt" is missing',
        'texts/en.json#/findings: the text of "rare-thing" is missing',
      ].sort(),
    );
  });
});

describe('a root folder', () => {
  test.each([
    ['name', join('back-crawl', '1.0.0'), 'says front-crawl@1.0.0, but stands in back-crawl/1.0.0'],
    ['version', join('front-crawl', '1.0.1'), 'says front-crawl@1.0.0, but stands in front-crawl/1.0.1'],
  ])('with a rule set in a folder of another %s is refused', async (_, place, message) => {
    const root = await emptyRoot();
    await cp(FRONT_CRAWL, join(root, place), { recursive: true });
    expect(await faultsOf(loadAll(root))).toEqual([`rule-set.json#: ${message}`]);
  });

  test('with one bad version is refused, though the other is good', async () => {
    const { root, folder } = await copied();
    const next = join(root, 'front-crawl', '1.1.0');
    await cp(folder, next, { recursive: true });
    await change<{ version: string }>(next, 'rule-set.json', (manifest) => {
      manifest.version = '1.1.0';
    });
    expect((await loadAll(root)).map((s) => s.manifest.version)).toEqual(['1.0.0', '1.1.0']);
    await rename(join(next, 'lists.json'), join(next, 'list.json'));
    expect((await faultsOf(loadAll(root))).every((f) => f === 'lists.json#: the file is missing')).toBe(true);
  });

  test('without rule sets gives none, and files beside the folders do not matter', async () => {
    const root = await emptyRoot();
    await writeFile(join(root, 'README.md'), 'nothing here');
    expect(await loadAll(root)).toEqual([]);
  });

  test('that does not exist is an error', async () => {
    await expect(loadAll(join(await emptyRoot(), 'nowhere'))).rejects.toThrow('ENOENT');
  });
});

test('a rule set without its English texts is refused', async () => {
  const { folder } = await copied();
  await rename(join(folder, 'texts', 'en.json'), join(folder, 'texts', 'de.json'));
  expect((await faultsOf(loadRuleSet(folder))).map((f) => f.split(':')[0])).toEqual(['texts/en.json#']);
});

describe('languages', () => {
  const speak = async (folder: string, languages: string[], word?: Spoil<ReturnType<typeof copyOfTexts>>) => {
    await change<{ languages: string[] }>(folder, 'rule-set.json', (manifest) => {
      manifest.languages = languages;
    });
    await cp(join(folder, 'texts/en.json'), join(folder, 'texts/xx.json'));
    await change<ReturnType<typeof copyOfTexts>>(folder, 'texts/xx.json', (texts) => {
      texts.language = 'xx';
      word?.(texts);
    });
  };

  test('another language is another file; the first one speaks', async () => {
    const { folder } = await copied();
    await speak(folder, ['xx', 'en'], (texts) => {
      const words = texts.causes['head-high-habit'];
      if (words !== undefined) words.label = 'Zzz';
    });
    const loaded = await loadRuleSet(folder);
    expect(loaded.texts.causes['head-high-habit']?.label).toBe('Zzz');
    expect(loaded.digest).not.toBe(shipped.digest);
  });

  test('every language is checked, not only the first', async () => {
    const { folder } = await copied();
    await speak(folder, ['en', 'xx'], (texts) => {
      delete texts.causes['head-high-habit'];
    });
    expect(await faultsOf(loadRuleSet(folder))).toEqual([
      'texts/xx.json#/causes: the text of "head-high-habit" is missing',
    ]);
  });

  test('a file must say its own language', async () => {
    const { folder } = await copied();
    await speak(folder, ['en', 'xx'], (texts) => {
      texts.language = 'yy';
    });
    expect(await faultsOf(loadRuleSet(folder))).toEqual([
      'texts/xx.json#/language: must be "xx", as the file is named',
    ]);
  });
});
