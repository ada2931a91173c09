/** Finding words: "how do I record that the elbow drops?" The vocabulary with its texts, best match first. */
import type { View } from '../contract/common.ts';
import type { RuleSet } from './rule-set.ts';

export const SEARCHABLE = ['observations', 'measurements', 'causes', 'drills', 'glossary'] as const;
export type Searchable = (typeof SEARCHABLE)[number];

export interface SearchQuery {
  /** Words that must all occur, in any order, in the code or the texts; left and right fit whatever has sides. */
  readonly q?: string | undefined;
  /** Only observations that this view can show. */
  readonly view?: View | undefined;
}

/** An entry of the vocabulary with its words. */
export interface WordedEntry {
  readonly code: string;
  readonly label?: string;
  readonly name?: string;
  readonly views?: readonly View[];
  readonly [field: string]: unknown;
}

/** Small words that a sentence needs and a search does not. */
const SMALL = new Set(['a', 'an', 'and', 'at', 'in', 'is', 'my', 'of', 'on', 'the', 'to', 'with']);
const SIDES = new Set(['left', 'right']);

/** "drops" and "dropping" ask for what "dropped" says. */
const stemOf = (word: string): string =>
  word.replace(/(?<=\w{3})(?:(?<=([b-df-hj-np-tv-z]))\1)?(?:es|s|ed|ing)$/, '');

function wordsOf(q: string): string[] {
  const words = q.toLowerCase().split(/\s+/).filter(Boolean);
  const telling = words.filter((word) => !SMALL.has(word));
  return (telling.length > 0 ? telling : words).map(stemOf);
}

/** Where a word stands tells how well it fits: code and label, then the rest of the texts. */
function score(entry: WordedEntry, words: readonly string[]): number {
  const title = `${entry.code} ${entry.label ?? entry.name ?? ''}`.toLowerCase();
  const all = JSON.stringify(entry).toLowerCase();
  const fits = (word: string): boolean => all.includes(word) || (entry.sided === true && SIDES.has(word));
  if (!words.every(fits)) return 0;
  return 1 + words.filter((word) => title.includes(word)).length;
}

function entriesOf(ruleSet: RuleSet, part: Searchable): readonly WordedEntry[] {
  if (part === 'glossary')
    return Object.entries(ruleSet.texts.glossary).map(([code, meaning]) => ({ code, label: code, meaning }));
  const texts = ruleSet.texts[part] as { readonly [code: string]: object };
  return ruleSet.parts[part].map((entry) => ({ ...entry, ...texts[entry.code] }));
}

export function search(ruleSet: RuleSet, part: Searchable, { q, view }: SearchQuery): WordedEntry[] {
  const words = wordsOf(q ?? '');
  return entriesOf(ruleSet, part)
    .filter((entry) => view === undefined || entry.views === undefined || entry.views.includes(view))
    .map((entry) => ({ entry, fit: score(entry, words) }))
    .filter(({ fit }) => fit > 0)
    .sort((a, b) => b.fit - a.fit || (a.entry.code < b.entry.code ? -1 : 1))
    .map(({ entry }) => entry);
}
