/** The rule sets that are served, found by `name`, `name@version` or `name@range`. */
import { maxSatisfying, rsort, validRange } from 'semver';
import type { RuleSet } from './rule-set.ts';

export const DEFAULT_RULE_SET = 'front-crawl';

export interface Catalogue {
  readonly names: readonly string[];
  /** Newest first. */
  versionsOf(name: string): readonly RuleSet[];
  /** The newest version that fits; undefined when there is none. */
  resolve(reference: string | undefined): RuleSet | undefined;
}

export function createCatalogue(sets: readonly RuleSet[]): Catalogue {
  const byName = new Map<string, Map<string, RuleSet>>();
  for (const set of sets) {
    const versions = byName.get(set.manifest.name) ?? new Map<string, RuleSet>();
    versions.set(set.manifest.version, set);
    byName.set(set.manifest.name, versions);
  }
  return {
    names: [...byName.keys()].sort(),
    versionsOf(name) {
      const versions = byName.get(name);
      return versions === undefined ? [] : rsort([...versions.keys()]).map((v) => versions.get(v) as RuleSet);
    },
    resolve(reference = DEFAULT_RULE_SET) {
      const [name, range = '*', ...rest] = reference.split('@') as [string, ...string[]];
      const versions = byName.get(name);
      if (versions === undefined || rest.length > 0 || validRange(range) === null) return undefined;
      const version = maxSatisfying([...versions.keys()], range);
      return version === null ? undefined : versions.get(version);
    },
  };
}
