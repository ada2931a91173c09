/**
 * Lays a draft over what it stands on. An entry that is whole replaces the one of its name or is added at the end of its
 * part; an entry that is not whole changes only the fields that it names (JSON Merge Patch, RFC 7396). Words of an entry
 * may stand in its own field `text`. What is removed takes its words with it.
 */
import { pointerOf } from '../../knowledge/errors.ts';
import type { Manifest, Parts } from '../../knowledge/parts.ts';
import { readShape } from '../../knowledge/read-shape.ts';
import type { Texts } from '../../knowledge/texts.ts';
import { nearest } from '../../knowledge/vocabulary.ts';
import type { Case } from '../cases.ts';
import { LIMITS } from './limits.ts';
import { isObject, mergePatch } from './merge-patch.ts';
import type { DraftMistake } from './mistakes.ts';
import { DRAFT_PARTS, LIST_PARTS, OBJECT_PARTS, partAt, sectionOf, wordsPatch } from './parts.ts';

/** Everything that a rule set is written in. */
export interface Source {
  readonly manifest: Manifest;
  readonly parts: Parts;
  readonly texts: Texts;
  readonly cases: readonly Case[];
}

export interface Draft {
  readonly upsert?: { readonly [part: string]: unknown } | undefined;
  readonly remove?: { readonly [part: string]: unknown } | undefined;
}

/** Where the draft speaks of an entry, and what it does to it. */
export interface Touch {
  readonly path: readonly (string | number)[];
  readonly change: 'added' | 'changed' | 'removed';
}

export interface Overlaid {
  /** What could be read; an entry with mistakes is left as it was. */
  readonly source: Source;
  /** By part and name. */
  readonly touched: ReadonlyMap<string, ReadonlyMap<string, Touch>>;
  /** Names of entries that could not be read. */
  readonly broken: ReadonlySet<string>;
  readonly textsAreBroken: boolean;
  readonly mistakes: readonly DraftMistake[];
}

type Path = readonly (string | number)[];
type Entry = { readonly [field: string]: unknown };

class Overlay {
  readonly #contents = new Map<string, unknown>();
  readonly #base: Source;
  readonly touched = new Map<string, Map<string, Touch>>();
  readonly broken = new Set<string>();
  readonly mistakes: DraftMistake[] = [];
  #texts: unknown;
  textsAreBroken = false;

  constructor(base: Source) {
    this.#base = base;
    this.#texts = base.texts;
    const { manifest, parts, cases } = base;
    for (const [name, part] of Object.entries({ 'rule-set': manifest, ...parts, cases }))
      this.#contents.set(name, part);
  }

  #say(path: Path, code: string, message: string, suggestions?: readonly string[]): void {
    this.mistakes.push({
      pointer: pointerOf(path),
      code,
      message,
      ...(suggestions === undefined || suggestions.length === 0 ? {} : { suggestions }),
    });
  }

  #touch(part: string, key: string, touch: Touch): void {
    const known = this.touched.get(part) ?? new Map<string, Touch>();
    this.touched.set(part, known.set(key, touch));
  }

  /** The named parts of one side of the draft; a name that is no part is a mistake. */
  #partsOf(
    side: unknown,
    at: string,
    known: readonly string[],
  ): [part: string, content: unknown, path: Path][] {
    if (side === undefined) return [];
    if (!isObject(side)) {
      this.#say(['draft', at], 'wrong-type', 'must be an object with a field for each part');
      return [];
    }
    return Object.entries(side).flatMap(([part, content]): [string, unknown, Path][] => {
      const path = ['draft', at, part];
      if (known.includes(part)) return [[part, content, path]];
      this.#say(path, 'unknown-part', `"${part}" is not a part of a rule set`, nearest(part, known));
      return [];
    });
  }

  #listOf(content: unknown, path: Path, what: string): readonly unknown[] {
    if (!Array.isArray(content)) this.#say(path, 'wrong-type', `must be a list of ${what}`);
    else if (content.length > LIMITS.entries)
      this.#say(path, 'too-big', `may name at most ${LIMITS.entries} entries, not ${content.length}`);
    else return content as unknown[];
    return [];
  }

  #entries(part: string): readonly Entry[] {
    return this.#contents.get(part) as readonly Entry[];
  }

  remove(side: unknown): void {
    for (const [part, content, at] of this.#partsOf(side, 'remove', [...LIST_PARTS.keys(), 'lists'])) {
      for (const [k, name] of this.#listOf(content, at, 'names').entries()) {
        const path = [...at, k];
        if (typeof name !== 'string') this.#say(path, 'wrong-type', 'must be the name of an entry');
        else if (part === 'lists') this.#removeWord(name, path);
        else this.#removeEntry(part, name, path);
      }
    }
  }

  #removeEntry(part: string, name: string, path: Path): void {
    const key = LIST_PARTS.get(part)?.key as string;
    const entries = this.#entries(part);
    const left = entries.filter((e) => e[key] !== name);
    if (left.length === entries.length) {
      const known = entries.map((e) => String(e[key]));
      this.#say(path, 'unknown-code', `${part} has no "${name}" to remove`, nearest(name, known));
      return;
    }
    this.#contents.set(part, left);
    this.#touch(part, name, { path, change: 'removed' });
    const section = sectionOf(part);
    if (section !== undefined)
      this.#texts = mergePatch(this.#texts, wordsPatch(section, name, null), () => undefined);
  }

  /** A word of a fixed list, written as list and word: "equipment/fins". */
  #removeWord(name: string, path: Path): void {
    const lists = this.#contents.get('lists') as { [list: string]: unknown };
    const [list = '', word = ''] = name.split('/');
    const words = Object.hasOwn(lists, list) ? lists[list] : undefined;
    if (!Array.isArray(words) || !words.includes(word)) {
      const known = Object.entries(lists).flatMap(([l, all]) =>
        Array.isArray(all) ? all.map((w) => `${l}/${w}`) : [],
      );
      this.#say(path, 'unknown-code', `lists has no "${name}" to remove`, nearest(name, known));
      return;
    }
    this.#contents.set('lists', { ...lists, [list]: words.filter((w) => w !== word) });
    this.#touch('lists', word, { path, change: 'removed' });
    this.#texts = mergePatch(this.#texts, { lists: { [list]: { [word]: null } } }, () => undefined);
  }

  upsert(side: unknown): void {
    const parts = this.#partsOf(side, 'upsert', DRAFT_PARTS);
    for (const [part, content, path] of parts) {
      if (part === 'texts') this.#texts = this.#patched(this.#texts, content, path);
    }
    for (const [part, content, path] of parts) {
      if (part === 'texts') continue;
      if (OBJECT_PARTS.has(part)) this.#patchObject(part, content, path);
      else
        for (const [k, entry] of this.#listOf(content, path, 'entries').entries())
          this.#upsertEntry(part, entry, [...path, k]);
    }
    this.#readTexts(isObject(side) && side.texts !== undefined);
  }

  #patched(target: unknown, patch: unknown, path: Path): unknown {
    return mergePatch(target, patch, (inner) => this.#nothing([...path, ...inner]));
  }

  #nothing(path: Path): void {
    this.#say(path, 'nothing-to-remove', 'null takes a field away, and there is none');
  }

  #patchObject(part: string, content: unknown, path: Path): void {
    const before = this.#contents.get(part);
    const patch = part === 'lists' ? withAddedWords(before as Entry, content) : content;
    const merged = this.#patched(before, patch, path);
    const { value, mistakes } = readShape(OBJECT_PARTS.get(part) as never, merged);
    for (const m of mistakes) this.#say([...path, ...(m.path as Path)], m.code, m.message, m.suggestions);
    if (value === undefined) this.broken.add(part);
    else this.#contents.set(part, value);
  }

  #upsertEntry(part: string, given: unknown, path: Path): void {
    const { key, element } = LIST_PARTS.get(part) as NonNullable<ReturnType<typeof LIST_PARTS.get>>;
    if (!isObject(given)) {
      this.#say(path, 'wrong-type', `must be an entry: an object with a field "${key}"`);
      return;
    }
    const name = given[key];
    if (typeof name !== 'string') {
      this.#say(
        [...path, key],
        name === undefined ? 'required' : 'wrong-type',
        `must be the ${key} of the entry`,
      );
      return;
    }
    const earlier = this.touched.get(part)?.get(name);
    if (earlier !== undefined) {
      const what = earlier.change === 'removed' ? 'is removed as well' : 'stands in the draft twice';
      this.#say([...path, key], 'duplicate-code', `"${name}" ${what}`);
      return;
    }
    const section = sectionOf(part);
    const { text, ...rest } = given;
    const entry = section === undefined ? given : rest;
    const entries = this.#entries(part);
    const i = entries.findIndex((e) => e[key] === name);
    this.#touch(part, name, { path, change: i < 0 ? 'added' : 'changed' });
    const whole = i < 0 || readShape(element, entry).value !== undefined;
    const merged = whole ? entry : this.#patched(entries[i], entry, path);
    const { value, mistakes } = readShape(element, merged);
    for (const m of mistakes) this.#say([...path, ...(m.path as Path)], m.code, m.message, m.suggestions);
    if (value === undefined) this.broken.add(name);
    else this.#contents.set(part, i < 0 ? [...entries, value] : entries.with(i, value as Entry));
    if (section === undefined || text === undefined) return;
    this.#texts = mergePatch(this.#texts, wordsPatch(section, name, text), (inner) =>
      this.#nothing([...path, 'text', ...inner.slice(section.length + 1)]),
    );
  }

  /** A mistake in words is told where they were written: at the entry, or under `texts`. */
  #readTexts(patched: boolean): void {
    const { value, mistakes } = readShape(OBJECT_PARTS.get('texts') as never, this.#texts);
    for (const { path, code, message } of mistakes) {
      const under = ['draft', ...(patched ? ['upsert', 'texts', ...(path as Path)] : [])];
      this.#say(this.#entryOfText(path as Path) ?? under, code, message);
    }
    if (value === undefined) this.textsAreBroken = true;
    this.#texts = value ?? this.#base.texts;
  }

  #entryOfText(path: Path): Path | undefined {
    const at = partAt(path);
    if (at === undefined) return undefined;
    const touch = this.touched.get(at.part)?.get(String(path[at.steps]));
    if (touch === undefined || touch.change === 'removed') return undefined;
    return [...touch.path, 'text', ...path.slice(at.steps + 1)];
  }

  /** What was not touched was checked before; what was has been checked entry by entry. */
  get source(): Source {
    const { 'rule-set': manifest, cases, ...parts } = Object.fromEntries(this.#contents);
    return { manifest, parts, cases, texts: this.#texts } as unknown as Source;
  }
}

/** Words are added to the fixed lists: nobody should have to type a whole list to add one word. */
function withAddedWords(before: Entry, patch: unknown): unknown {
  if (!isObject(patch)) return patch;
  return Object.fromEntries(
    Object.entries(patch).map(([list, words]) => {
      const known = Object.hasOwn(before, list) ? before[list] : undefined;
      if (!Array.isArray(known) || !Array.isArray(words)) return [list, words];
      return [list, [...known, ...words.filter((w) => !known.includes(w))]];
    }),
  );
}

/** @param draft any value that came through {@link inspect} without a mistake. */
export function overlay(base: Source, draft: Draft): Overlaid {
  const over = new Overlay(base);
  over.remove(draft.remove);
  over.upsert(draft.upsert);
  const { source, touched, broken, textsAreBroken, mistakes } = over;
  return { source, touched, broken, textsAreBroken, mistakes };
}
