/**
 * How the texts read: spelling against the British dictionary of the Hunspell project, reading level by the
 * Flesch-Kincaid grade (Kincaid et al. 1975: school years that a reader needs), and no names of makers or brands.
 */
import dictionary from 'dictionary-en-gb';
import { fleschKincaid } from 'flesch-kincaid';
import nspell from 'nspell';
import { syllable } from 'syllable';
import { describe, expect, test } from 'vitest';
import { shipped } from './shipped.ts';

const texts: [place: string, text: string][] = [];
(function collect(value: unknown, place: string): void {
  // a {name} is filled in by the program and is no word of the text
  if (typeof value === 'string') texts.push([place, value.replace(/\{\w+\}/g, '')]);
  else if (value !== null && typeof value === 'object')
    for (const [key, part] of Object.entries(value)) collect(part, `${place}/${key}`);
})(shipped.texts, '');

const wordsOf = (text: string): string[] => text.match(/[A-Za-z][A-Za-z'-]*/g) ?? [];

/** Words of the trade and of cited sources that a general dictionary lacks. */
const TRADE = ['midline', 'wetsuit', 'kickboard', 'stepwise', 'decibans', 'rotator'];
const SOURCES = ['ACOG', 'BMJ', 'Pulm', 'Feijen'];

describe('spelling', () => {
  const speller = nspell({ aff: Buffer.from(dictionary.aff), dic: Buffer.from(dictionary.dic) });
  const misspelt = (text: string): string[] =>
    wordsOf(text)
      .flatMap((word) => word.split('-'))
      .filter((word) => word !== '' && !speller.correct(word) && !isKnown(word));
  const isKnown = (word: string): boolean =>
    TRADE.includes(word.toLowerCase()) || SOURCES.includes(word) || /^'|'$/.test(word);

  test('every word of every text is in the dictionary or a word of the trade', () => {
    const faults = texts.flatMap(([place, text]) => misspelt(text).map((word) => `${place}: ${word}`));
    expect(faults).toEqual([]);
  });

  test('a misspelt word would be found', () => {
    expect(misspelt('The elbow dropps in the catch.')).toEqual(['dropps']);
  });

  test('no allowance is left over', () => {
    const used = new Set(texts.flatMap(([, text]) => wordsOf(text).flatMap((w) => w.split('-'))));
    const lower = new Set([...used].map((word) => word.toLowerCase()));
    expect(TRADE.filter((word) => !lower.has(word) || speller.correct(word))).toEqual([]);
    expect(SOURCES.filter((word) => !used.has(word) || speller.correct(word))).toEqual([]);
  });
});

/** A clause that ends in a colon or semicolon reads as a sentence of its own. */
function grade(text: string): number {
  const words = wordsOf(text);
  const sentences = Math.max(1, text.match(/[.!?:;](\s|$)/g)?.length ?? 0);
  return fleschKincaid({
    sentence: sentences,
    word: words.length,
    syllable: words.reduce((sum, word) => sum + syllable(word), 0),
  });
}

describe('reading level', () => {
  // a grade says nothing about a handful of words
  const running = texts.filter(([, text]) => wordsOf(text).length >= 8);
  const under = (...sections: string[]) =>
    running.filter(([place]) => sections.some((section) => place.startsWith(`/${section}/`)));
  const over = (limit: number, part: typeof running): string[] =>
    part.filter(([, text]) => grade(text) > limit).map(([place]) => place);

  /** Enumerations of medical signs: long by nature, read word by word. */
  const LISTS_OF_SIGNS = [
    '/cautions/pregnancy-warning-signs/label',
    '/cautions/medical-clearance/label',
    '/cautions/shoulder-red-flags/label',
  ];

  test('no text asks for more than twelve years of school, save lists of medical signs', () => {
    expect(over(12, running).sort()).toEqual([...LISTS_OF_SIGNS].sort());
  });

  test('what a swimmer reads asks for ten at most: drills, health words, sessions', () => {
    expect(under('drills', 'lists', 'sessions').length).toBeGreaterThan(500);
    expect(over(10, under('drills', 'lists/healthSigns', 'lists/painFeatures', 'sessions'))).toEqual([]);
  });

  test('the usual text asks for six or fewer', () => {
    const grades = running.map(([, text]) => grade(text)).sort((a, b) => a - b);
    expect(grades[Math.floor(grades.length / 2)]).toBeLessThan(6);
  });

  test('a text in officialese would be found', () => {
    const text =
      'Implementation of compensatory rotational modification necessitates multidimensional biomechanical evaluation.';
    expect(grade(text)).toBeGreaterThan(12);
  });
});

describe('names', () => {
  /** Cited journals and authors. */
  const CITED = [...SOURCES, 'Case', 'Rep', 'Med'];
  /** Words with a capital inside a sentence: in English those are names. */
  const namesIn = (text: string): string[] =>
    [...text.matchAll(/(?<![.!?:;"(]\s|^|["(])\b[A-Z][A-Za-z]+\b/g)].map(([word]) => word);

  test('no text names a maker, a brand or a method that belongs to somebody', () => {
    const named = texts.flatMap(([place, text]) =>
      namesIn(text)
        .filter((word) => !CITED.includes(word))
        .map((word) => `${place}: ${word}`),
    );
    expect(named).toEqual([]);
    expect(texts.filter(([, text]) => /[®™©]/.test(text))).toEqual([]);
  });

  test('a name would be found', () => {
    expect(namesIn('Use the Wonderfin for this. Then swim.')).toEqual(['Wonderfin']);
  });
});
