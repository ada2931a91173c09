import { describe, expect, test } from 'vitest';
import { createCatalogue, DEFAULT_RULE_SET } from '../../src/knowledge/catalogue.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { shipped } from './shipped.ts';

/** The catalogue reads nothing of a rule set but its name and version. */
function named(name: string, version: string): RuleSet {
  return { ...shipped, manifest: { ...shipped.manifest, name, version } };
}

const catalogue = createCatalogue([
  named('front-crawl', '1.9.0'),
  named('front-crawl', '2.0.0'),
  named('front-crawl', '1.10.0'),
  named('front-crawl', '1.0.0'),
  named('back-crawl', '0.3.0'),
]);

const resolved = (reference?: string): string | undefined => {
  const set = catalogue.resolve(reference);
  return set === undefined ? undefined : `${set.manifest.name}@${set.manifest.version}`;
};

describe('the catalogue of rule sets', () => {
  test.each([
    ['front-crawl', 'front-crawl@2.0.0'],
    ['back-crawl', 'back-crawl@0.3.0'],
    ['front-crawl@1.9.0', 'front-crawl@1.9.0'],
    ['front-crawl@2.0.0', 'front-crawl@2.0.0'],
    ['front-crawl@1', 'front-crawl@1.10.0'],
    ['front-crawl@^1.0.0', 'front-crawl@1.10.0'],
    ['front-crawl@~1.9', 'front-crawl@1.9.0'],
    ['front-crawl@1.x', 'front-crawl@1.10.0'],
    ['front-crawl@<1.10.0', 'front-crawl@1.9.0'],
    ['front-crawl@>=1.0.0 <2.0.0', 'front-crawl@1.10.0'],
    ['front-crawl@*', 'front-crawl@2.0.0'],
  ])('finds for %s the newest that fits: %s', (reference, found) => {
    expect(resolved(reference)).toBe(found);
  });

  test.each([
    'side-stroke',
    'side-stroke@1.0.0',
    'front-crawl@3',
    'front-crawl@1.9.1',
    'front-crawl@newest',
    'front-crawl@1.0.0.0',
    'front-crawl@1.0.0@1.0.0',
    'Front-Crawl',
    '',
    '@1.0.0',
    '__proto__',
    'constructor',
  ])('finds nothing for "%s"', (reference) => {
    expect(resolved(reference)).toBeUndefined();
  });

  test('without a reference, takes the newest of the default', () => {
    expect(DEFAULT_RULE_SET).toBe('front-crawl');
    expect(resolved()).toBe('front-crawl@2.0.0');
    expect(createCatalogue([named('back-crawl', '1.0.0')]).resolve(undefined)).toBeUndefined();
  });

  test('lists versions newest first, by number and not by letter', () => {
    expect(catalogue.versionsOf('front-crawl').map((s) => s.manifest.version)).toEqual([
      '2.0.0',
      '1.10.0',
      '1.9.0',
      '1.0.0',
    ]);
    expect(catalogue.versionsOf('side-stroke')).toEqual([]);
  });

  test('lists names in order', () => {
    expect(catalogue.names).toEqual(['back-crawl', 'front-crawl']);
    expect(createCatalogue([]).names).toEqual([]);
  });

  test('serves the shipped rule set', () => {
    expect(createCatalogue([shipped]).resolve(undefined)).toBe(shipped);
  });
});
