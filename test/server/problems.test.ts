/** What a client is told when a request is wrong: always a problem (RFC 9457), never a 500. */
import { describe, expect, test } from 'vitest';
import { ASSESS, MINIMAL, mistakesOf, problemOf, sharedApp } from './app.ts';

const app = sharedApp();

describe('mistakes in a record', () => {
  const seen = (entry: object) => ({ ...MINIMAL, observations: [entry] });
  const measured = (entry: object) => ({ ...MINIMAL, measurements: [entry] });

  test.each<[string, unknown, string[]]>([
    ['null', null, [' wrong-type']],
    ['a list', [], [' wrong-type']],
    ['a text', 'x', [' wrong-type']],
    ['a number', 3, [' wrong-type']],
    ['nothing required', {}, ['/swimmer required']],
    ['wrong type', { swimmer: { level: 'novice', age: 'old' } }, ['/swimmer/age wrong-type']],
    [
      'a fraction for a whole number',
      { swimmer: { level: 'novice', age: 40.5 } },
      ['/swimmer/age wrong-type'],
    ],
    ['unknown field', { ...MINIMAL, colour: 'red' }, ['/colour unknown-field']],
    ['unknown field inside', { swimmer: { level: 'novice', n: 1 } }, ['/swimmer/n unknown-field']],
    ['a name that needs escaping', { ...MINIMAL, 'a/b~c': 1 }, ['/a~1b~0c unknown-field']],
    ['unknown level', { swimmer: { level: 'expert' } }, ['/swimmer/level not-allowed']],
    ['too small', { swimmer: { level: 'novice', age: 1 } }, ['/swimmer/age too-small']],
    ['too big', { swimmer: { level: 'novice', age: 111 } }, ['/swimmer/age too-big']],
    ['a code with a space', seen({ code: 'hips low', severity: 1 }), ['/observations/0/code wrong-form']],
    ['unknown code', seen({ code: 'hips-lo', severity: 1 }), ['/observations/0/code unknown-code']],
    [
      'impossible side',
      seen({ code: 'hips-low', severity: 1, side: 'left' }),
      ['/observations/0/side impossible-side'],
    ],
    [
      'the body as a side',
      seen({ code: 'dropped-elbow-catch', severity: 1, side: 'body' }),
      ['/observations/0/side impossible-side'],
    ],
    [
      'missing side',
      seen({ code: 'dropped-elbow-catch', severity: 1 }),
      ['/observations/0/side side-required'],
    ],
    [
      'wrong unit',
      measured({ code: 'stroke-rate', value: 30, unit: 'Hz' }),
      ['/measurements/0/unit wrong-unit'],
    ],
    [
      'impossible value',
      measured({ code: 'stroke-rate', value: 121 }),
      ['/measurements/0/value impossible-value'],
    ],
    [
      'clip not listed',
      seen({ code: 'hips-low', severity: 1, clip: 'a' }),
      ['/observations/0/clip unknown-clip'],
    ],
    ['unknown rule set', { ...MINIMAL, ruleSet: 'back-crawl' }, ['/ruleSet unknown-rule-set']],
    ['unknown version', { ...MINIMAL, ruleSet: 'front-crawl@99' }, ['/ruleSet unknown-rule-set']],
    [
      'a rule set called like a built-in',
      { ...MINIMAL, ruleSet: '__proto__' },
      ['/ruleSet unknown-rule-set'],
    ],
    ['a number for a rule set', { ...MINIMAL, ruleSet: 3 }, ['/ruleSet wrong-type']],
    ['constructor as a field', { ...MINIMAL, constructor: 1 }, ['/constructor unknown-field']],
    [
      'constructor as a code',
      seen({ code: 'constructor', severity: 1 }),
      ['/observations/0/code unknown-code'],
    ],
  ])('%s', async (_, body, mistakes) => {
    expect(mistakesOf(await app.assess(body))).toEqual(mistakes);
  });

  test('an unknown code comes with the nearest known ones, the nearest first', async () => {
    const reply = await app.assess(seen({ code: 'head-held-hihg', severity: 1 }));
    const [error] = problemOf(reply, 400, 'invalid-request').errors ?? [];
    expect(error?.suggestions?.[0]).toBe('head-held-high');
    expect(error?.suggestions?.length).toBeLessThanOrEqual(3);
  });

  test('an unknown rule set comes with the ones that are served', async () => {
    const reply = await app.assess({ ...MINIMAL, ruleSet: 'front-craw' });
    const [error] = problemOf(reply, 400, 'invalid-request').errors ?? [];
    expect(error?.suggestions).toEqual(['front-crawl@1.0.0']);
  });

  test('five different mistakes get one answer with exactly five pointers', async () => {
    const reply = await app.assess({
      swimmer: { level: 'novice', age: 'old' },
      colour: 'red',
      observations: [
        { code: 'head-held-hihg', severity: 1 },
        { code: 'hips-low', severity: 1, side: 'left' },
      ],
      measurements: [{ code: 'stroke-rate', value: 30, unit: 'Hz' }],
    });
    expect(mistakesOf(reply)).toEqual([
      '/colour unknown-field',
      '/measurements/0/unit wrong-unit',
      '/observations/0/code unknown-code',
      '/observations/1/side impossible-side',
      '/swimmer/age wrong-type',
    ]);
    expect(reply.json().detail).toBe('5 things are wrong with the request.');
  });

  // a JSON text may spell half of a surrogate pair (RFC 8259 section 8.2); RFC 8785 has no form for it
  test.each<[string, string, string]>([
    ['/swimmer/ref', '"swimmer":{"level":"novice","ref":"\\ud800"}', ''],
    ['/coach/remarks', '"swimmer":{"level":"novice"}', ',"coach":{"remarks":"\\udc00"}'],
    [
      '/observations/0/observer',
      '"swimmer":{"level":"novice"}',
      ',"observations":[{"code":"hips-low","severity":1,"observer":"\\ud800x"}]',
    ],
    [
      '/recording/clips/0/id',
      '"swimmer":{"level":"novice"}',
      ',"recording":{"clips":[{"id":"\\ud800","view":"rear"}]}',
    ],
    [
      '/measurements/0/derivation',
      '"swimmer":{"level":"novice"}',
      ',"measurements":[{"code":"stroke-rate","value":30,"derivation":{"\\ud800":1}}]',
    ],
  ])('half a character in %s is the mistake of the client', async (pointer, swimmer, rest) => {
    const reply = await app.send(`{${swimmer}${rest}}`);
    const [error] = problemOf(reply, 400, 'invalid-request').errors ?? [];
    expect(error?.pointer.startsWith(pointer)).toBe(true);
  });
});

describe('bodies that are no record at all', () => {
  test.each([
    ['empty', ''],
    ['white space', '  \n'],
    ['cut off', '{"swimmer":'],
    ['two values', '{} {}'],
    ['single quotes', "{'swimmer':{}}"],
    ['not a number', '{"swimmer":{"level":"novice","age":NaN}}'],
    ['a __proto__ key', '{"__proto__":{"a":1},"swimmer":{"level":"novice"}}'],
    ['a __proto__ key inside', '{"swimmer":{"level":"novice","__proto__":{"a":1}}}'],
    ['a __proto__ key in disguise', '{"swimmer":{"level":"novice"},"metadata":{"\\u005f_proto__":"x"}}'],
    ['constructor.prototype', '{"constructor":{"prototype":{"a":1}},"swimmer":{"level":"novice"}}'],
  ])('%s is malformed-json', async (_, text) => {
    problemOf(await app.send(text), 400, 'malformed-json');
    expect(Object.hasOwn(Object.prototype, 'a')).toBe(false);
  });

  test('no body and no content type', async () => {
    problemOf(await app.ask({ method: 'POST', url: ASSESS }), 400, 'malformed-json');
  });

  test('a body as large as the limit is read, one byte more is 413', async () => {
    const text = JSON.stringify(MINIMAL);
    const padded = (bytes: number) => text + ' '.repeat(bytes - text.length);
    expect((await app.send(padded(1_048_576))).statusCode).toBe(200);
    problemOf(await app.send(padded(1_048_577)), 413, 'body-too-large');
  });

  test.each([
    ['lists', (n: number) => '['.repeat(n) + ']'.repeat(n)],
    ['objects', (n: number) => `${'{"a":'.repeat(n)}1${'}'.repeat(n)}`],
  ])('%s nested 16 deep are read, 17 and 100000 deep are too-deep', async (_, nested) => {
    problemOf(await app.send(nested(16)), 400, 'invalid-request');
    problemOf(await app.send(nested(17)), 400, 'too-deep');
    problemOf(await app.send(nested(100_000)), 400, 'too-deep');
  });

  test('brackets inside a text are not nesting', async () => {
    const remarks = '\\"[{'.repeat(50);
    expect((await app.assess({ ...MINIMAL, coach: { remarks } })).statusCode).toBe(200);
  });
});
