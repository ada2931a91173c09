/** The difference of two whole rule sets, where no draft says what was touched. */
import canonicalize from 'canonicalize';
import type { BuiltDraft, Library } from '../draft/build.ts';
import type { Touch } from '../draft/overlay.ts';
import { LIST_PARTS } from '../draft/parts.ts';
import { differenceOf, type EntryChange } from './difference.ts';

type Entry = { readonly [field: string]: unknown };

const entries = ({ ruleSet, cases }: Library, part: string): readonly Entry[] =>
  part === 'cases'
    ? (cases as unknown as Entry[])
    : ((ruleSet.parts as unknown as Record<string, Entry[]>)[part] ?? []);

function touchesOf(before: Library, after: Library, part: string, key: string): Map<string, Touch> {
  const old = new Map(entries(before, part).map((e) => [e[key] as string, canonicalize(e)]));
  const own = new Map(entries(after, part).map((e) => [e[key] as string, canonicalize(e)]));
  const touch = (name: string): Touch | undefined => {
    if (!old.has(name)) return { path: [], change: 'added' };
    if (!own.has(name)) return { path: [], change: 'removed' };
    return old.get(name) === own.get(name) ? undefined : { path: [], change: 'changed' };
  };
  return new Map(
    [...new Set([...old.keys(), ...own.keys()])].flatMap((name) => {
      const touched = touch(name);
      return touched === undefined ? [] : [[name, touched] as const];
    }),
  );
}

/** @returns what differs, in a coach's words, as for a draft on the first. */
export function differenceOfLibraries(before: Library, after: Library): EntryChange[] {
  const touched: BuiltDraft['touched'] = new Map(
    [...LIST_PARTS].map(([part, { key }]) => [part, touchesOf(before, after, part, key)]),
  );
  return differenceOf(before, { ...after, touched });
}
