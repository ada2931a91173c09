import { describe, expect, test } from 'vitest';
import { at, type copyOfParts, faultsAfter, found, shipped } from './shipped.ts';

type Change = (parts: ReturnType<typeof copyOfParts>) => void;

const NO = 'no-such';
const unknown = (what: string): string => `"${NO}" is not a known ${what}`;

/** Drill fields that a template turns into a condition: the fault shows in the drill and in the rule that it makes. */
const TEMPLATED: readonly (readonly [
  what: string,
  change: Change,
  own: string,
  each: string,
  made: string,
])[] = [
  [
    'a drill avoids an unknown cause',
    (d) => {
      at(d.drills, 0).avoid = [{ cause: NO, from: 'likely' }];
    },
    `drills.json#/0/avoid/0/cause: ${unknown('cause')}`,
    'drill-avoid',
    `"cause:${NO}" is not a fact of this rule set`,
  ],
  [
    'a drill loads an unknown body part',
    (d) => {
      at(d.drills, 0).loads = [NO];
    },
    `drills.json#/0/loads/0: ${unknown('body part')}`,
    'drill-load',
    `"restricted:${NO}" is not a fact of this rule set`,
  ],
  [
    'a drill needs unknown equipment',
    (d) => {
      at(d.drills, 0).needsAnyOf = [NO];
    },
    `drills.json#/0/needsAnyOf/0: ${unknown('piece of equipment')}`,
    'drill-with-equipment',
    `"${NO}" can never be a value of "equipment"`,
  ],
];

describe('words of a drill that a template asks for', () => {
  test.each(TEMPLATED)('%s', (_, change, own, each, made) => {
    const { index } = found(shipped.parts['drill-exclusions'], (r) => r.forEach?.each === each);
    const place = `drill-exclusions.json#/${index}/conditions/`;
    // the rule that is written out may ask for the unknown word in more than one place
    const [first, ...rest] = faultsAfter(change);
    expect(first).toBe(own);
    expect(rest[0]).toMatch(/^drill-exclusions\.json#\/\d+\/conditions\/(all|any)\/0\/(fact|value): /);
    expect(rest[0]?.endsWith(made)).toBe(true);
    expect(rest.every((fault) => fault.startsWith(place) && fault.includes(NO))).toBe(true);
  });
});
