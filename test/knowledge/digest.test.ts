import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { digestOf } from '../../src/knowledge/digest.ts';
import { createRuleSet } from '../../src/knowledge/rule-set.ts';
import { at, copyOfParts, copyOfTexts, shipped } from './shipped.ts';

/** The same value with the keys of every object in reverse order. */
function reversed<T>(value: T): T {
  if (Array.isArray(value)) return value.map(reversed) as T;
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([k, v]) => [k, reversed(v)]),
  ) as T;
}

// integer-like and prototype keys cannot be reordered or copied by plain assignment
const key = fc.string({ minLength: 1 }).filter((k) => !/^\d+$/.test(k) && k !== '__proto__');
const json = fc.letrec((tie) => ({
  value: fc.oneof(
    { depthSize: 'small' },
    fc.string(),
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.boolean(),
    fc.constant(null),
    fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(key, tie('value'), { maxKeys: 4, noNullPrototype: true }),
  ),
})).value;

describe('the digest of a value', () => {
  test.each([
    // printf '%s' '{"a":1,"b":[true,null,"x"]}' | sha256sum (GNU coreutils)
    [
      { b: [true, null, 'x'], a: 1 },
      'sha-256:eca8cfb31ab74533e1eb2f4c74d2d55dfe3c79ac704787e54be8647ea7777eb1',
    ],
    // the canonical text of RFC 8785, section 3.2.4, put through sha256sum in the same way
    [
      {
        numbers: [Number('333333333.33333329'), 1e30, 4.5, 2e-3, 0.000000000000000000000000001],
        string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\"\u002f',
        literals: [null, true, false],
      },
      'sha-256:2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb',
    ],
  ])('is that of its canonical form (%#)', (value, digest) => {
    expect(digestOf(value)).toBe(digest);
  });

  test('does not depend on the order of keys', () => {
    fc.assert(
      fc.property(json, (value) => {
        expect(digestOf(reversed(value))).toBe(digestOf(value));
      }),
      { numRuns: 300, seed: 7 },
    );
  });

  test('depends on the order of a list', () => {
    expect(digestOf(['a', 'b'])).not.toBe(digestOf(['b', 'a']));
  });

  test('changes with any one character of a text', () => {
    fc.assert(
      fc.property(
        fc.string({ minLength: 1 }),
        fc.nat(),
        fc.string({ minLength: 1, maxLength: 1 }),
        (s, n, c) => {
          const i = n % s.length;
          fc.pre(s[i] !== c);
          expect(digestOf({ s: s.slice(0, i) + c + s.slice(i + 1) })).not.toBe(digestOf({ s }));
        },
      ),
      { numRuns: 300, seed: 8 },
    );
  });

  test.each([[Number.NaN], [Number.POSITIVE_INFINITY], [undefined]])('is refused for %s', (value) => {
    expect(() => digestOf(value)).toThrow();
  });
});

describe('the digest of a rule set', () => {
  const build = (
    change: (draft: {
      manifest: { -readonly [K in keyof typeof shipped.manifest]: (typeof shipped.manifest)[K] };
      parts: ReturnType<typeof copyOfParts>;
      texts: ReturnType<typeof copyOfTexts>;
    }) => void = () => undefined,
  ): string => {
    const draft = { manifest: structuredClone(shipped.manifest), parts: copyOfParts(), texts: copyOfTexts() };
    change(draft);
    return createRuleSet(draft.manifest, draft.parts, draft.texts).digest;
  };

  test('is the same for the same content', () => {
    expect(build()).toBe(shipped.digest);
    expect(shipped.digest).toMatch(/^sha-256:[0-9a-f]{64}$/);
  });

  test('does not depend on the order of keys in the files', () => {
    expect(build((d) => Object.assign(d, { parts: reversed(d.parts), texts: reversed(d.texts) }))).toBe(
      shipped.digest,
    );
  });

  test.each(['draft', 'published', 'retired'] as const)('does not depend on the status: %s', (status) => {
    expect(
      build((d) => {
        d.manifest.status = status;
      }),
    ).toBe(shipped.digest);
  });

  test.each<[string, Parameters<typeof build>[0]]>([
    ['a character of a text', (d) => (d.texts.links[at(d.parts.links, 0).id] += '.')],
    ['a number of a constant', (d) => (d.parts.constants.reports.limitDb += 1e-9)],
    ['a rationale', (d) => (at(d.parts.modifiers, 0).rationale += ' ')],
    ['the order of two rules', (d) => d.parts.links.reverse()],
    ['the version', (d) => (d.manifest.version = '1.0.1')],
    ['the name', (d) => (d.manifest.name = 'back-crawl')],
    ['the engine', (d) => (d.manifest.engine = '2')],
  ])('changes with %s', (_, change) => {
    expect(build(change)).not.toBe(shipped.digest);
  });
});
