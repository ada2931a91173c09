import { describe, expect, test } from 'vitest';
import { LISTS } from '../../src/knowledge/parts.ts';
import { PHRASE_KEYS } from '../../src/knowledge/phrase-keys.ts';
import { faultsAfter, found, shipped } from './shipped.ts';

/** Every section but `phrases` and `glossary`, which name no entry of the rule set, and `lists` and `plans`, which have their own tests. */
const SECTIONS = [
  'observations',
  'qualityFlags',
  'measurements',
  'changeLimits',
  'findings',
  'causes',
  'links',
  'drivers',
  'modifiers',
  'reports',
  'deductions',
  'principles',
  'drills',
  'cautions',
  'cautionRules',
  'gate',
  'exclusions',
  'sufficiency',
  'sessions',
  'goalSets',
] as const;

describe('texts', () => {
  test('every section is in this file', () => {
    const sections = Object.keys(shipped.texts).filter(
      (key) => !['language', 'phrases', 'glossary', 'lists', 'plans'].includes(key),
    );
    expect([...SECTIONS].sort()).toEqual(sections.sort());
  });

  test.each(SECTIONS)('of %s: one that is missing', (section) => {
    const key = Object.keys(shipped.texts[section]).at(-1) as string;
    const faults = faultsAfter((_, texts) => {
      delete texts[section][key];
    });
    // an observation without its text also lacks the sentence on sides, when it has sides
    const sided = section === 'observations' && shipped.observations.get(key)?.sided === true;
    expect(faults).toEqual([
      `texts/en.json#/${section}: the text of "${key}" is missing`,
      ...(sided ? [`texts/en.json#/observations/${key}: a sided observation needs sideMeans`] : []),
    ]);
  });

  test.each(SECTIONS)('of %s: one that belongs to nothing', (section) => {
    const faults = faultsAfter((_, texts) => {
      texts[section]['no/such~thing'] = Object.values(texts[section])[0] as never;
    });
    expect(faults).toEqual([
      `texts/en.json#/${section}/no~1such~0thing: belongs to no entry of the rule set`,
    ]);
  });

  test.each(['stages', 'checks', 'goalTests', 'decisions', 'rules'] as const)(
    'of the plans, %s: one that is missing, and one that belongs to nothing',
    (name) => {
      const key = Object.keys(shipped.texts.plans[name]).at(-1) as string;
      const faults = faultsAfter((_, texts) => {
        const section = texts.plans[name] as Record<string, unknown>;
        section['no-such'] = section[key];
        delete section[key];
      });
      expect(faults).toEqual([
        `texts/en.json#/plans/${name}: the text of "${key}" is missing`,
        `texts/en.json#/plans/${name}/no-such: belongs to no entry of the rule set`,
      ]);
    },
  );

  test.each(LISTS)('of the list %s: one that is missing, and one that belongs to nothing', (name) => {
    const key = shipped.parts.lists[name].at(-1) as string;
    const faults = faultsAfter((_, texts) => {
      delete texts.lists[name][key];
      texts.lists[name]['no-such'] = 'Nothing';
    });
    expect(faults).toEqual([
      `texts/en.json#/lists/${name}: the text of "${key}" is missing`,
      `texts/en.json#/lists/${name}/no-such: belongs to no entry of the rule set`,
    ]);
  });

  test('of a sided observation: without what its side means', () => {
    const { code } = found(shipped.parts.observations, (o) => o.sided).entry;
    const faults = faultsAfter((_, texts) => {
      delete texts.observations[code]?.sideMeans;
    });
    expect(faults).toEqual([`texts/en.json#/observations/${code}: a sided observation needs sideMeans`]);
  });

  test('are reported in the file of their language', () => {
    const faults = faultsAfter((_, texts) => {
      texts.language = 'de';
      delete texts.causes['body-tilt'];
    });
    expect(faults).toEqual(['texts/de.json#/causes: the text of "body-tilt" is missing']);
  });

  test('a text of an unsided observation need not say what its side means', () => {
    const { code } = found(shipped.parts.observations, (o) => !o.sided).entry;
    expect(shipped.texts.observations[code]?.sideMeans).toBeUndefined();
    expect(faultsAfter(() => undefined)).toEqual([]);
  });

  test('a sentence that the service speaks: without it the rule set is refused', () => {
    const key = PHRASE_KEYS.at(-1) as string;
    const faults = faultsAfter((_, texts) => {
      delete texts.phrases[key];
    });
    expect(faults).toEqual([`texts/en.json#/phrases: the text of "${key}" is missing`]);
  });

  test.each(['targets', 'avoid'] as const)('of a drill: each cause that it %s, and no other', (field) => {
    const { code, ...drill } = found(shipped.parts.drills, (d) => d[field].length > 0).entry;
    const cause = drill[field].at(-1)?.cause as string;
    const faults = faultsAfter((_, texts) => {
      const words = texts.drills[code]?.[field] as Record<string, string>;
      delete words[cause];
      words['no-such'] = 'Nothing';
    });
    expect(faults).toEqual([
      `texts/en.json#/drills/${code}/${field}: the text of "${cause}" is missing`,
      `texts/en.json#/drills/${code}/${field}/no-such: belongs to no entry of the rule set`,
    ]);
  });

  test('of a session: each of its blocks, and no other', () => {
    const { code, blocks } = found(shipped.parts.sessions, () => true).entry;
    const slot = blocks.at(-1)?.slot as string;
    const faults = faultsAfter((_, texts) => {
      const words = texts.sessions[code]?.blocks as Record<string, string>;
      delete words[slot];
      words.siesta = 'Nothing';
    });
    expect(faults).toEqual([
      `texts/en.json#/sessions/${code}/blocks: the text of "${slot}" is missing`,
      `texts/en.json#/sessions/${code}/blocks/siesta: belongs to no entry of the rule set`,
    ]);
  });
});
