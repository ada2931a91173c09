/** A draft laid over a rule set: what it may say, and every way to say it wrong with its place in the request. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LIMITS } from '../../../src/authoring/draft/limits.ts';
import { at, found, shipped } from '../../knowledge/shipped.ts';
import { shippedCases } from '../lint/linted.ts';
import { built, told } from './drafted.ts';

const LINK = 'hips-rise-with-head-down--head-high-habit';
const link = (d = built({})) => found(d.ruleSet.parts.links, (l) => l.id === LINK).entry;

const OBSERVATION = {
  code: 'chin-tucked',
  sided: false,
  polarity: 'fault',
  region: 'head',
  phase: 'whole-stroke',
  views: ['side-under'],
  costs: ['resistance'],
  mark: 'judgement',
  text: {
    label: 'Chin on the chest',
    anchors: ['a little', 'clearly', 'all the time'],
    howToJudge: 'From the side.',
  },
};
const FINDING = {
  code: 'chin-tucked',
  sided: false,
  background: '1-in-20',
  how: 'filmed',
  views: ['side-under'],
  mark: 'judgement',
};
const NEW_LINK = {
  id: 'chin-tucked--head-dig-habit',
  scope: 'body',
  conditions: { all: [{ fact: 'finding:chin-tucked', operator: 'isAssessed', value: true }] },
  event: {
    type: 'evidence',
    params: { cause: 'head-dig-habit', finding: 'chin-tucked', shows: 'usually', side: 'body' },
  },
  rationale: 'a tucked chin pushes the head down',
  mark: 'judgement',
  text: 'a tucked chin pushes the head down',
};

describe('a draft', () => {
  test('without a change is the base, under a version of its own', () => {
    const { ruleSet } = built({});
    const { published: _, ...head } = shipped.manifest;
    expect(ruleSet.manifest).toEqual({ ...head, version: '1.0.0-draft', status: 'draft' });
    expect(ruleSet.parts).toEqual(shipped.parts);
    expect(ruleSet.digest).not.toBe(shipped.digest);
  });

  test('changes the fields that a part of an entry names, and no other', () => {
    const after = link(built({ links: [{ id: LINK, event: { params: { shows: 'nearly-always' } } }] }));
    const before = link();
    expect(after).toEqual({
      ...before,
      event: { ...before.event, params: { ...before.event.params, shows: 'nearly-always' } },
    });
  });

  test('takes a field away with null', () => {
    expect(link().event.params.group).toBeDefined();
    const after = link(built({ links: [{ id: LINK, event: { params: { group: null } } }] }));
    expect(after.event.params.group).toBeUndefined();
  });

  test('replaces an entry that is given whole', () => {
    const { group: _, ...params } = link().event.params;
    const whole = { ...link(), event: { type: 'evidence', params } };
    expect(link(built({ links: [whole] })).event.params.group).toBeUndefined();
  });

  test('leaves entries in their place and puts new ones at the end', () => {
    const { ruleSet } = built({
      observations: [OBSERVATION],
      findings: [FINDING],
      links: [NEW_LINK, { id: LINK, event: { params: { shows: 'often' } } }],
    });
    const ids = ruleSet.parts.links.map((l) => l.id);
    expect(ids).toEqual([...shipped.parts.links.map((l) => l.id), NEW_LINK.id]);
    expect(ruleSet.texts.observations['chin-tucked']?.label).toBe('Chin on the chest');
    expect(ruleSet.texts.links[NEW_LINK.id]).toBe(NEW_LINK.text);
  });

  test('removes an entry together with its words', () => {
    const { id } = at(shipped.parts.modifiers, 0);
    const { ruleSet } = built({}, { modifiers: [id] });
    expect(ruleSet.parts.modifiers.map((m) => m.id)).not.toContain(id);
    expect(ruleSet.texts.modifiers[id]).toBeUndefined();
  });

  test('adds a word to a fixed list and takes one away', () => {
    const users = shipped.parts.drills.filter((d) => d.needsAnyOf.includes('beeper'));
    const { ruleSet } = built(
      {
        lists: { equipment: ['mirror'] },
        texts: { lists: { equipment: { mirror: 'A mirror' } } },
        drills: users.map(({ code }) => ({ code, needsAnyOf: ['mirror'] })),
      },
      { lists: ['equipment/beeper'] },
    );
    const { equipment } = shipped.parts.lists;
    expect(ruleSet.parts.lists.equipment).toEqual([...equipment.filter((e) => e !== 'beeper'), 'mirror']);
    expect(ruleSet.texts.lists.equipment.beeper).toBeUndefined();
  });

  test('changes a number of the constants', () => {
    const { ruleSet } = built({ constants: { words: { shows: { often: 0.55 } } } });
    expect(ruleSet.parts.constants.words.shows).toEqual({
      ...shipped.parts.constants.words.shows,
      often: 0.55,
    });
  });

  test('adds, changes and removes cases', () => {
    const [first, second] = shippedCases;
    const added = { ...first, id: 'my-own' };
    const { cases } = built(
      { cases: [added, { id: second?.id, title: 'Another title' }] },
      { cases: [first?.id] },
    );
    expect(cases).toHaveLength(shippedCases.length);
    expect(at(cases, 0).title).toBe('Another title');
    expect(at(cases, -1).id).toBe('my-own');
  });

  test('never changes its base', () => {
    const before = JSON.stringify(shipped.parts);
    built({
      links: [{ id: LINK, event: { params: { shows: 'often' } } }],
      constants: { words: { shows: { often: 0.5 } } },
    });
    expect(JSON.stringify(shipped.parts)).toBe(before);
  });

  test('says which entries it touches, and where', () => {
    const { touched } = built(
      { links: [NEW_LINK], observations: [OBSERVATION], findings: [FINDING] },
      { 'change-limits': ['hip-depth'] },
    );
    expect([...(touched.get('links') ?? [])]).toEqual([
      [NEW_LINK.id, { path: ['draft', 'upsert', 'links', 0], change: 'added' }],
    ]);
    expect(touched.get('change-limits')?.get('hip-depth')?.change).toBe('removed');
  });
});

describe('a mistake', () => {
  test.each([
    [
      'a part that does not exist',
      { upsert: { lnks: [] } },
      '/draft/upsert/lnks unknown-part: "lnks" is not a part of a rule set',
    ],
    [
      'a part that cannot be removed from',
      { remove: { constants: [] } },
      '/draft/remove/constants unknown-part: ',
    ],
    [
      'a part that is no list',
      { upsert: { links: {} } },
      '/draft/upsert/links wrong-type: must be a list of entries',
    ],
    [
      'an entry that is no object',
      { upsert: { links: ['x'] } },
      '/draft/upsert/links/0 wrong-type: must be an entry',
    ],
    [
      'an entry without a name',
      { upsert: { causes: [{ role: 'root' }] } },
      '/draft/upsert/causes/0/code required: ',
    ],
    [
      'an unknown name to remove',
      { remove: { drills: ['x', 'bubble-bobs'] } },
      '/draft/remove/drills/1 unknown-code: drills has no "bubble-bobs" to remove',
    ],
    ['a name that is no text', { remove: { drills: [3] } }, '/draft/remove/drills/0 wrong-type: '],
    [
      'an unknown field',
      { upsert: { links: [{ id: LINK, shows: 'often' }] } },
      '/draft/upsert/links/0/shows unknown-field: ',
    ],
    [
      'an unknown word',
      { upsert: { links: [{ id: LINK, event: { params: { shows: 'mostly' } } }] } },
      '/draft/upsert/links/0/event/params/shows unknown-word: "mostly"',
    ],
    [
      'null where nothing is',
      { upsert: { links: [{ id: LINK, nothing: null }] } },
      '/draft/upsert/links/0/nothing nothing-to-remove: ',
    ],
    [
      'the same entry twice',
      { upsert: { links: [{ id: LINK }, { id: LINK }] } },
      `/draft/upsert/links/1/id duplicate-code: "${LINK}" stands in the draft twice`,
    ],
    [
      'an entry written and removed',
      { upsert: { links: [{ id: LINK }] }, remove: { links: [LINK] } },
      `/draft/upsert/links/0/id duplicate-code: "${LINK}" is removed as well`,
    ],
    [
      'an unknown operator',
      {
        upsert: {
          links: [
            { ...NEW_LINK, conditions: { all: [{ fact: 'hips-low', operator: 'looksLike', value: true }] } },
          ],
        },
      },
      '/draft/upsert/links/0/conditions/all/0/operator unknown-operator: "looksLike"',
    ],
    [
      'no rationale',
      { upsert: { links: [{ ...NEW_LINK, rationale: undefined }] } },
      '/draft/upsert/links/0/rationale no-rationale: ',
    ],
    [
      'words of the wrong shape',
      { upsert: { causes: [{ code: 'head-high-habit', text: { label: 7 } }] } },
      '/draft/upsert/causes/0/text/label wrong-type: must be a text',
    ],
    [
      'words that are missing',
      { upsert: { observations: [{ ...OBSERVATION, text: undefined }] } },
      '/draft/upsert/observations/0/text missing-text: the text of "chin-tucked" is missing',
    ],
    [
      'a number out of range',
      { upsert: { constants: { propagation: { maxSweeps: 1e9 } } } },
      '/draft/upsert/constants/propagation/maxSweeps too-big: ',
    ],
    [
      'what still names what is removed',
      { remove: { causes: ['head-high-habit'] } },
      `/draft/remove/causes/0 unknown-code: links "${LINK}": "head-high-habit" is not a known cause`,
    ],
    [
      'a case whose record cannot be read',
      {
        upsert: {
          cases: [
            { id: at(shippedCases, 0).id, request: { observations: [{ code: 'hip-low', severity: 1 }] } },
          ],
        },
      },
      '/draft/upsert/cases/0/request/observations/0/code unknown-code: "hip-low"',
    ],
    [
      'a case that expects nothing',
      { upsert: { cases: [{ ...at(shippedCases, 0), id: 'idle', expect: {} }] } },
      '/draft/upsert/cases/0/expect not-allowed: must expect something',
    ],
  ])('%s is told with its place', (_, draft, mistake) => {
    expect(told(draft)).toContainEqual(expect.stringContaining(mistake));
  });

  test('of each kind is told in one answer', () => {
    const all = told({
      upsert: {
        lnks: [],
        links: [
          { id: LINK, event: { params: { shows: 'mostly' } } },
          { id: 'x', rationale: '' },
        ],
        causes: [{ code: 'head-high-habit', text: { label: 7 } }],
      },
      remove: { drills: ['nope'] },
    });
    for (const place of [
      '/draft/upsert/lnks',
      '/draft/upsert/links/0/event',
      '/draft/upsert/links/1/',
      '/draft/upsert/causes/0/text',
      '/draft/remove/drills/0',
    ])
      expect(all.filter((m) => m.startsWith(place)).length, place).toBeGreaterThan(0);
  });

  test('in one entry brings no others about', () => {
    const all = told({
      upsert: {
        observations: [{ ...OBSERVATION, polarity: 'bad' }],
        findings: [{ ...FINDING, how: 'guessed' }],
        links: [NEW_LINK],
      },
    });
    expect(all.map((m) => m.split(' ')[0]).toSorted((a, b) => String(a).localeCompare(String(b)))).toEqual([
      '/draft/upsert/findings/0/how',
      '/draft/upsert/observations/0/polarity',
    ]);
  });
});

describe('a hostile draft', () => {
  const nested = (levels: number): unknown => {
    let value: unknown = {};
    for (let i = 0; i < levels; i++) value = { all: [value] };
    return value;
  };

  test.each([
    ['nesting', { upsert: { links: [{ id: LINK, conditions: nested(50_000) }] } }, '/draft too-deep: '],
    [
      'a prototype name',
      { upsert: JSON.parse('{"links":[{"id":"x","__proto__":{"a":1}}]}') },
      '/draft/upsert/links/0/__proto__ forbidden-name: ',
    ],
    [
      'a constructor',
      { upsert: { texts: { constructor: { prototype: { a: 1 } } } } },
      '/draft/upsert/texts/constructor forbidden-name: ',
    ],
    [
      'half a character',
      { upsert: { links: [{ id: LINK, rationale: '\ud800' }] } },
      '/draft/upsert/links/0/rationale wrong-form: ',
    ],
    [
      'too many values',
      { upsert: { links: Array.from({ length: LIMITS.values }, () => 1) } },
      '/draft too-big: ',
    ],
    [
      'too many entries',
      { upsert: { links: Array.from({ length: LIMITS.entries + 1 }, (_, i) => ({ id: `x${i}` })) } },
      '/draft/upsert/links too-big: ',
    ],
  ])('with %s is refused', (_, draft, mistake) => {
    expect(told(draft)).toContainEqual(expect.stringContaining(mistake));
  });

  test('with templates that would be written out too often is refused before they are', () => {
    const rule = at(shipped.parts['drill-exclusions'], 0);
    const rules = Array.from({ length: 300 }, (_, i) => ({ ...rule, id: `many-${i}`, text: 'text' }));
    expect(told({ upsert: { 'drill-exclusions': rules } })).toEqual([
      expect.stringMatching(/^\/draft\/upsert too-big: the rules come to \d+ conditions/),
    ]);
  });

  test('with more mistakes than anybody reads tells the first and counts the rest', () => {
    const all = told({ upsert: { links: Array.from({ length: 500 }, (_, i) => ({ id: `x${i}` })) } });
    expect(all).toHaveLength(LIMITS.mistakes + 1);
    expect(all.at(-1)).toMatch(/more-mistakes: and \d+ more mistakes/);
  });

  test('changes no prototype', () => {
    told({ upsert: { texts: JSON.parse('{"__proto__":{"polluted":true}}'), links: [{ id: '__proto__' }] } });
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });

  test('of any JSON is refused or built, never a crash', () => {
    const part = fc.constantFrom(
      'links',
      'causes',
      'constants',
      'lists',
      'texts',
      'drills',
      'cases',
      'rule-set',
      'toString',
    );
    const value = fc.oneof(
      fc.jsonValue({ maxDepth: 4 }),
      fc.constantFrom({ id: LINK }, { code: 'head-high-habit', text: 'x' }),
    );
    const side = fc.oneof(
      fc.jsonValue({ maxDepth: 2 }),
      fc.dictionary(part, fc.oneof(value, fc.array(value, { maxLength: 4 }))),
    );
    fc.assert(
      fc.property(fc.record({ upsert: side, remove: side }, { requiredKeys: [] }), (draft) => {
        told(draft);
      }),
      { numRuns: 300, seed: 5 },
    );
  });
});
