/** What an author is told of a value that does not have its shape. */
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { pointerOf } from '../../src/knowledge/errors.ts';
import { PARTS } from '../../src/knowledge/parts.ts';
import { depthOf, MAX_DEPTH, readShape } from '../../src/knowledge/read-shape.ts';
import { at, shipped } from './shipped.ts';

const link = structuredClone(at(shipped.parts.links, 0)) as object;
const said = (change: object): string[] =>
  readShape(PARTS.links.element, { ...link, ...change }).mistakes.map(
    (m) => `${pointerOf(m.path)} ${m.code}: ${m.message}`,
  );

describe('a condition', () => {
  test.each([
    [
      'with an unknown operator is named, with the nearest ones',
      { all: [{ fact: 'hips-low', operator: 'seenAtleast', value: 1 }] },
      ['/conditions/all/0/operator unknown-operator: "seenAtleast" is not an operator'],
    ],
    [
      'is named where it stands, however deep',
      { all: [{ any: [{ all: [{ fact: 3, operator: 'is', value: true }] }] }] },
      ['/conditions/all/0/any/0/all/0/fact wrong-type: must be a text'],
    ],
    [
      'may not have a path',
      { all: [{ fact: 'hips-low', operator: 'is', value: true, path: '$' }] },
      ['/conditions/all/0/path unknown-field: "path" is not a field here'],
    ],
    ['may not be empty', { any: [] }, ['/conditions/any too-small: must be at least 1 entries']],
    [
      'is a group at the top',
      { fact: 'hips-low', operator: 'is', value: true },
      ['/conditions wrong-type: must hold its parts under "all" or "any", one of the two'],
    ],
    [
      'knows no "not"',
      { all: [{ not: { fact: 'hips-low', operator: 'is', value: true } }] },
      [
        '/conditions/all/0 wrong-type: must be a fact with an operator and a value, or hold parts under "all" or "any"',
      ],
    ],
  ])('%s', (_, conditions, mistakes) => {
    expect(said({ conditions })).toEqual(mistakes);
  });

  test('with an unknown operator comes with a suggestion', () => {
    const conditions = { all: [{ fact: 'hips-low', operator: 'seenAtleast', value: 1 }] };
    const { mistakes } = readShape(PARTS.links.element, { ...link, conditions });
    expect(mistakes[0]?.suggestions).toContain('seenAtLeast');
  });
});

describe('a rule', () => {
  test.each([
    ['rationale', { rationale: undefined }, '/rationale no-rationale: a rule needs a rationale'],
    ['rationale with words', { rationale: '' }, '/rationale no-rationale: a rule needs a rationale'],
    ['mark', { mark: undefined }, '/mark no-mark: must say where the entry comes from'],
    ['mark that names a source', { mark: 'a friend' }, '/mark no-mark: must name a source'],
  ])('needs a %s', (_, change, mistake) => {
    expect(said(change)).toEqual([expect.stringContaining(mistake)]);
  });
});

describe('depth', () => {
  const nested = (levels: number): unknown => {
    let value: unknown = { fact: 'hips-low', operator: 'isAssessed', value: true };
    for (let i = 0; i < levels; i++) value = { all: [value] };
    return value;
  };

  test.each([MAX_DEPTH, 5000, 200_000])('%i levels are refused, not overflowed', (levels) => {
    expect(said({ conditions: nested(levels) })).toEqual([
      ` too-deep: is nested more than ${MAX_DEPTH} levels deep`,
    ]);
  });

  test('is counted over objects and lists alike', () => {
    expect([1, {}, [[]], { a: [{ b: 1 }] }].map(depthOf)).toEqual([0, 0, 1, 3]);
  });

  test('that an entry needs is allowed', () => {
    expect(said({ conditions: nested(3) })).toEqual([]);
  });
});

test('a value of a right shape comes back as it is', () => {
  expect(readShape(z.array(z.string()), ['a']).value).toEqual(['a']);
});
