import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AuthoredCondition, AuthoredRule, Parts } from '../../src/knowledge/parts.ts';
import { RULE_PARTS } from '../../src/knowledge/parts.ts';
import { at, type copyOfParts, faultsAfter, found, shipped } from './shipped.ts';

type Draft = ReturnType<typeof copyOfParts>;
type Entry = { code?: string; id?: string };

const LISTS = (Object.keys(shipped.parts) as (keyof Parts)[]).filter((name) =>
  Array.isArray(shipped.parts[name]),
);

test('the shipped rule set has no fault', () => {
  expect(faultsAfter(() => undefined)).toEqual([]);
});

describe('names', () => {
  test.each(LISTS)('an entry of %s that stands there twice', (name) => {
    const list = shipped.parts[name] as readonly Entry[];
    const last = at(list, -1);
    const faults = faultsAfter((parts) => (parts[name] as Entry[]).push({ ...last }));
    const key = last.code === undefined ? 'id' : 'code';
    expect(faults).toEqual([`${name}.json#/${list.length}/${key}: "${last[key]}" stands here twice`]);
  });

  const asked = JSON.stringify(shipped.stages, (key, value: unknown) => (key === 'name' ? undefined : value));
  test.each([
    ['measurements', 'quality-flags', 'qualityFlags'],
    ['measurements', 'observations', 'observations'],
  ] as const)('a code of %s that is also a code of %s', (owner, file, section) => {
    // a code that no rule asks for: a rule would also find the fact to be of another kind
    const { code } = found(shipped.parts[owner], (m) => !asked.includes(`"${m.code}`)).entry;
    const faults = faultsAfter((parts, texts) => {
      const list = parts[file] as { code: string }[];
      texts[section][code] = at(Object.values(texts[section]), 0) as never;
      list.push({ ...at(list, 0), code });
    });
    const [second, first] =
      file === 'observations'
        ? [
            `measurements.json#/${shipped.parts.measurements.findIndex((m) => m.code === code)}`,
            'observations',
          ]
        : [`quality-flags.json#/${shipped.parts['quality-flags'].length}`, 'measurements'];
    expect(faults).toEqual([`${second}/code: "${code}" is also a code of ${first}`]);
  });
});

describe('conditions', () => {
  const ask = (parts: Draft, fact: string, operator: string, value: unknown): void => {
    at(parts.modifiers as AuthoredRule[], 0).conditions = {
      all: [{ fact, operator, value } as AuthoredCondition],
    };
  };
  const { code: sided } = found(shipped.parts.observations, (o) => o.sided).entry;
  const { code: flag } = at(shipped.parts['quality-flags'], 0);
  const { code: cause } = at(shipped.parts.causes, 0);

  test.each([
    [
      'a fact that does not exist',
      'no-such-fact',
      'isAssessed',
      true,
      '"no-such-fact" is not a fact of this rule set',
    ],
    [
      'a family that does not exist',
      `causes:${cause}`,
      'isUnknown',
      true,
      `"causes:${cause}" is not a fact of this rule set`,
    ],
    [
      'an operator of another kind',
      flag,
      'isAssessed',
      true,
      `operator "isAssessed" does not fit "${flag}", which is a flag fact`,
    ],
    [
      'a severity that does not exist',
      'hips-low',
      'seenAtLeast',
      4,
      'operator "seenAtLeast" cannot compare with 4',
    ],
    ['a text where a number is due', 'age', 'atLeast', '18', 'operator "atLeast" cannot compare with "18"'],
    [
      'a text where a list is due',
      'level',
      'isOneOf',
      'novice',
      'operator "isOneOf" cannot compare with "novice"',
    ],
    [
      'a probability word that does not exist',
      `cause:${cause}`,
      'probabilityAtLeast',
      'certain',
      '"certain" is not a probability word',
    ],
    [
      'a level that does not exist',
      'level',
      'isOneOf',
      ['novice', 'expert'],
      '"expert" can never be a value of "level"',
    ],
    [
      'equipment that does not exist',
      'equipment',
      'includesAnyOf',
      ['harpoon'],
      '"harpoon" can never be a value of "equipment"',
    ],
  ] as const)('%s', (_, fact, operator, value, message) => {
    const [fault, ...more] = faultsAfter((parts) => ask(parts, fact, operator, value));
    expect(more).toEqual([]);
    expect(fault).toMatch(/^modifiers\.json#\/0\/conditions\/all\/0\/(fact|operator|value): /);
    expect(fault?.endsWith(`: ${message}`)).toBe(true);
  });

  test.each([
    ['a sided fact', sided, 'seenAtLeast', 3],
    ['not knowing, of any kind of fact', `cause:${cause}`, 'isUnknown', true],
    ['a probability word', `cause:${cause}`, 'probabilityBelow', 'very likely'],
    ['a text that may be anything', 'leading-cause', 'isOneOf', ['anything']],
    // the shape check, which comes first, has refused it by name
    ['an operator that does not exist', 'hips-low', 'looksLike', true],
  ] as const)('%s may be asked for', (_, fact, operator, value) => {
    expect(faultsAfter((parts) => ask(parts, fact, operator, value))).toEqual([]);
  });

  test.each(RULE_PARTS)('of %s are checked, and the depth of the group does not matter', (file) => {
    const faults = faultsAfter((parts) => {
      const rule = at(parts[file] as AuthoredRule[], -1);
      rule.conditions = {
        any: [{ all: [{ any: [rule.conditions, { fact: 'no-such-fact', operator: 'is', value: true }] }] }],
      };
    });
    const last = shipped.parts[file].length - 1;
    expect(faults).toEqual([
      `${file}.json#/${last}/conditions/any/0/all/0/any/1/fact: "no-such-fact" is not a fact of this rule set`,
    ]);
  });

  test('a fault of a template is said once, however often it is written out', () => {
    const { entry, index } = found(
      shipped.parts['drill-exclusions'],
      (r) => r.forEach?.each === 'drill' && r.forEach.tag === undefined,
    );
    expect(
      shipped.stages.exclusions.rules.filter((r) => r.id.startsWith(`${entry.id}--`)).length,
    ).toBeGreaterThan(50);
    const faults = faultsAfter((parts) => {
      at(parts['drill-exclusions'] as AuthoredRule[], index).conditions = {
        all: [{ fact: 'no-such-fact', operator: 'is', value: true }],
      };
    });
    expect(faults).toHaveLength(1);
  });
});

describe('drivers', () => {
  // in order of name, which is the order of the search
  const cause = shipped.parts.causes
    .filter((c) => !c.sided)
    .map((c) => c.code)
    .sort();
  const chain =
    (...codes: string[]) =>
    (parts: Draft, texts: { drivers: Record<string, string> }) => {
      const like = at(parts.drivers, 0);
      parts.drivers = codes
        .slice(1)
        .map((driven, i) => ({ ...like, id: `d-${i}`, driver: codes[i] as string, driven, infer: false }));
      texts.drivers = Object.fromEntries(parts.drivers.map((d) => [d.id, 'text']));
    };
  // sorted, as the check walks them: the way into a circle comes first
  const [a, b, c] = cause.toSorted().slice(0, 3) as [string, string, string];

  test.each([
    ['a cause that drives itself', [a, a], 0, [a, a]],
    ['two that drive each other', [a, b, a], 1, [a, b, a]],
    ['a circle of three behind a way in', [a, b, c, b], 2, [b, c, b]],
  ])('%s', (_, codes, index, circle) => {
    expect(faultsAfter(chain(...codes))).toEqual([
      `drivers.json#/${index}: drivers run in a circle: ${circle.join(' drives ')}`,
    ]);
  });

  test('two ways to one cause are no circle', () => {
    const both = faultsAfter((parts, texts) => {
      chain(a, b, c)(parts, texts);
      parts.drivers.push({ ...at(parts.drivers, 0), id: 'd-short', driven: c });
      texts.drivers['d-short'] = 'text';
    });
    expect(both).toEqual([]);
  });

  test('random drivers along one order are no circle, and one driver back makes one', () => {
    const edges = fc.uniqueArray(
      fc.tuple(fc.nat(9), fc.nat(9)).filter(([x, y]) => x < y),
      {
        minLength: 1,
        maxLength: 20,
        selector: String,
      },
    );
    fc.assert(
      fc.property(edges, fc.nat(), (list, n) => {
        const faults = (pairs: readonly (readonly [number, number])[]) =>
          faultsAfter((parts, texts) => {
            const like = at(parts.drivers, 0);
            parts.drivers = pairs.map(([x, y], i) => ({
              ...like,
              id: `d-${i}`,
              driver: cause[x] as string,
              driven: cause[y] as string,
              infer: false,
            }));
            texts.drivers = Object.fromEntries(parts.drivers.map((d) => [d.id, 'text']));
          });
        expect(faults(list)).toEqual([]);
        const [x, y] = list[n % list.length] as [number, number];
        const circles = faults([...list, [y, x]]);
        expect(circles.length).toBeGreaterThan(0);
        for (const circle of circles)
          expect(circle).toMatch(
            /^drivers\.json#\/\d+: drivers run in a circle: (\S+) drives (.* drives )?\1$/,
          );
      }),
      { numRuns: 25, seed: 9 },
    );
  });
});
