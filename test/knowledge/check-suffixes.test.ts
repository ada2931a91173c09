/** `fact@other` is the opposite arm; every other suffix would silently mean something else. */
import { describe, expect, test } from 'vitest';
import { at, faultsAfter, found, shipped } from './shipped.ts';

const sided = found(shipped.parts.observations, (o) => o.sided).entry.code;
const unsided = found(shipped.parts.observations, (o) => !o.sided).entry.code;
const arm = found(shipped.parts.modifiers, (m) => m.scope === 'arm' && m.forEach === undefined).index;
const body = found(shipped.parts.modifiers, (m) => m.scope === 'body' && m.forEach === undefined).index;

function faults(rule: number, fact: string): string[] {
  return faultsAfter((parts) => {
    at(parts.modifiers, rule).conditions = { all: [{ fact, operator: 'seenAtLeast', value: 1 }] };
  });
}

describe('what stands behind a fact', () => {
  test('may be the other arm', () => {
    expect(faults(arm, `${sided}@other`)).toEqual([]);
  });

  test.each([
    [arm, `${sided}@left`, 'only @other may stand behind a fact'],
    [arm, `${sided}@nonsense`, 'only @other may stand behind a fact'],
    [arm, `${unsided}@other`, 'the fact has no sides'],
    [body, `${sided}@other`, 'a rule of the body has no other arm'],
  ])('rule %i, %s: %s', (rule, fact, message) => {
    expect(faults(rule, fact)).toEqual([
      `modifiers.json#/${rule}/conditions/all/0/fact: "${fact}": ${message}`,
    ]);
  });
});
