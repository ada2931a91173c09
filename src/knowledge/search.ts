/** Finding words: "how do I record that the elbow drops?" The vocabulary with its texts, best match first. */
import type { View } from '../contract/common.ts';
import type { RuleSet } from './rule-set.ts';

export const SEARCHABLE = ['observations', 'measurements', 'causes', 'drills', 'glossary'] as const;
export type Searchable = (typeof SEARCHABLE)[number];

export interface SearchQuery {
  /** Words that must all occur, in any order, in the code or the texts. */
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

/** Where a word stands tells how well it fits: code and label, then the rest of the texts. */
function score(entry: WordedEntry, words: readonly string[]): number {
  const title = `${entry.code} ${entry.label ?? entry.name ?? ''}`.toLowerCase();
  const all = JSON.stringify(entry).toLowerCase();
  if (!words.every((word) => all.includes(word))) return 0;
  return 1 + words.filter((word) => title.includes(word)).length;
}

function entriesOf(ruleSet: RuleSet, part: Searchable): readonly WordedEntry[] {
  if (part === 'glossary')
    return Object.entries(ruleSet.texts.glossary).map(([code, meaning]) => ({ code, label: code, meaning }));
  const texts = ruleSet.texts[part] as { readonly [code: string]: object };
  return ruleSet.parts[part].map((entry) => ({ ...entry, ...texts[entry.code] }));
}

export function search(ruleSet: RuleSet, part: Searchable, { q, view }: SearchQuery): WordedEntry[] {
  const words = (q ?? '').toLowerCase().split(/\s+/).filter(Boolean);
  return entriesOf(ruleSet, part)
    .filter((entry) => view === undefined || entry.views === undefined || entry.views.includes(view))
    .map((entry) => ({ entry, fit: score(entry, words) }))
    .filter(({ fit }) => fit > 0)
    .sort((a, b) => b.fit - a.fit || (a.entry.code < b.entry.code ? -1 : 1))
    .map(({ entry }) => entry);
}
