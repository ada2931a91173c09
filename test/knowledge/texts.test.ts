/** How the texts speak: plainly and politely, with words for every fixed list and a glossary, in every rule set. */
import { describe, expect, test } from 'vitest';
import { GOALS, LEVELS, VIEWS } from '../../src/contract/common.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import { faultsAfter, RULES, shipped } from './shipped.ts';

const sets = await loadAll(RULES);
const texts: [place: string, text: string][] = [];
function collect(value: unknown, place: string): void {
  if (typeof value === 'string') texts.push([place, value]);
  else if (value !== null && typeof value === 'object')
    for (const [key, part] of Object.entries(value)) collect(part, `${place}/${key}`);
}
for (const set of sets) collect(set.texts, `${set.manifest.name}@${set.manifest.version}`);

test('the version whose spelling, reading level and promises are tested is the only one of front crawl', () => {
  const own = sets.filter((set) => set.manifest.name === 'front-crawl');
  expect(own.map((set) => set.digest)).toEqual([shipped.digest]);
});

interface Ban {
  readonly what: string;
  readonly pattern: RegExp;
  /** Without these a scan that finds nothing proves nothing. */
  readonly caught: readonly string[];
  /** What comes close and is allowed, with the reason. */
  readonly passed: readonly (readonly [sentence: string, because: string])[];
}

const BANS: readonly Ban[] = [
  {
    what: 'calls a thing easy to see or to do',
    pattern: /\b(?:simply|just|obviously|merely|basically|trivial(?:ly)?|of course|needless to say)\b/i,
    caught: ['Simply lift the elbow.', 'Just breathe.', 'The hips are obviously low.', 'Of course it sinks.'],
    passed: [
      ['Keep a simple rhythm.', 'says how the thing is'],
      ['Adjust the float.', 'another word'],
    ],
  },
  {
    what: 'is slang',
    pattern:
      /\b(?:gonna|wanna|gotta|kinda|sorta|ain't|awesome|super|crazy|insane|guys|folks|stuff|okay|ok|yeah|no-brainer|(?:tons|loads|heaps|a bunch) of|cool(?! (?:water|down))|(?:nail|crush|smash|kill)(?:s|ed|ing)? (?:it|the|your))\b/i,
    caught: [
      'A super catch.',
      'Loads of glide.',
      'Nail the entry.',
      'That is cool.',
      'You guys kick.',
      'Ok.',
    ],
    passed: [
      ['Swim easily to cool down.', 'a word of training'],
      ['The drill loads the shoulder.', 'says what carries the work'],
    ],
  },
  {
    what: 'scolds',
    pattern: /\b(?:lazy|sloppy|silly|stupid|hopeless|terrible|awful|useless|ridiculous|weird)\b/i,
    caught: ['A lazy left arm.', 'Sloppy kick.', 'The recovery looks weird.'],
    passed: [['The hand does no work there.', 'says what is seen']],
  },
  {
    what: 'calls the swimmer by another word',
    pattern: /\b(?:athlete|patient|client|customer)s?\b/i,
    caught: ['The athlete rolls.', 'Ask the patients.'],
    passed: [['Patience helps.', 'another word']],
  },
  {
    what: 'shouts',
    pattern: /!|(?<!\[[^\]]*)\b[A-Z]{4,}\b/,
    caught: ['Breathe out!', 'NEVER do this.', 'See ACOG.'],
    passed: [['Call at once. [published: ACOG 2020]', 'the name of a source in its brackets']],
  },
];

describe.each(BANS)('a text that $what', ({ pattern, caught, passed }) => {
  test('is nowhere', () => {
    expect(texts.filter(([, text]) => pattern.test(text))).toEqual([]);
  });

  test.each(caught)('would be found: "%s"', (sentence) => {
    expect(pattern.test(sentence)).toBe(true);
  });

  test.each(passed)('is not: "%s" (%s)', (sentence) => {
    expect(pattern.test(sentence)).toBe(false);
  });
});

describe('the lists that the contract fixes', () => {
  const LISTS = { views: VIEWS, goals: GOALS, levels: LEVELS } as const;

  test.each(['views', 'goals', 'levels'] as const)('%s have a word for each code and no other', (name) => {
    expect(Object.keys(shipped.texts.lists[name]).sort()).toEqual([...LISTS[name]].sort());
    const [first] = LISTS[name];
    const faults = faultsAfter((_, changed) => {
      delete changed.lists[name][first];
      changed.lists[name]['no-such'] = 'Nothing';
    });
    expect(faults).toEqual([
      `texts/en.json#/lists/${name}: the text of "${first}" is missing`,
      `texts/en.json#/lists/${name}/no-such: belongs to no entry of the rule set`,
    ]);
  });

  test('a label is no sentence', () => {
    const labels = Object.values(shipped.texts.lists).flatMap((list) => Object.values(list));
    expect(labels.filter((label) => /[.;]$/.test(label))).toEqual([]);
  });

  test('a label that stands inside sentences has no colon and no capital of its own', () => {
    const { bodyParts, equipment } = shipped.texts.lists;
    const inside = [...Object.values(bodyParts), ...Object.values(equipment)];
    expect(inside.filter((label) => !/^[a-z][a-z -]*$/.test(label))).toEqual([]);
  });
});

describe('the glossary', () => {
  const glossary = Object.entries(shipped.texts.glossary);

  test('says each term in one or two sentences of at most 40 words together', () => {
    const sentences = (text: string): number => text.match(/[.?](?=\s|$)/g)?.length ?? 0;
    const wrong = glossary.filter(
      ([, text]) => !/^[A-Z].*\.$/.test(text) || sentences(text) > 2 || text.split(/\s+/).length > 40,
    );
    expect(wrong).toEqual([]);
  });

  test('has no term with a capital letter, and is in the order of the alphabet', () => {
    const terms = glossary.map(([term]) => term);
    expect(terms.filter((term) => term !== term.toLowerCase())).toEqual([]);
    expect(terms).toEqual([...terms].sort());
  });

  test.each([
    'background',
    'cause',
    'certainty',
    'deciban',
    'driver',
    'efficiency',
    'finding',
    'focus',
    'mechanism',
    'prior',
    'probability',
    'range',
    'report',
    'restriction',
    'severity',
    'trail',
  ])('has "%s", which stands in every answer or record', (term) => {
    expect(Object.keys(shipped.texts.glossary)).toContain(term);
  });
});
