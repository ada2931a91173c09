/** POST /v1/squads over HTTP: JSON and CSV, every mistake in one answer, the named examples. */
import { readdir, readFile } from 'node:fs/promises';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { SQUAD_LIMITS, SquadAnswer } from '../../src/contract/squad.ts';
import { QUIET } from '../settings.ts';
import { mistakesOf, problemOf, type Reply, sharedApp } from './app.ts';

const app = sharedApp();
const FOLDER = new URL('../../openapi/examples/squad/', import.meta.url);

interface Example {
  readonly summary: string;
  readonly description: string;
  readonly invented: true;
  readonly request?: { readonly lanes: number; readonly minutes: number };
  readonly csv?: string;
  readonly query?: { readonly [name: string]: string };
  /** References of each group, or the number of groups; who stands apart and how. */
  readonly expect: {
    readonly groups: string[][] | number;
    readonly apart: { readonly [ref: string]: string };
  };
}
const read = (file: string): Promise<string> => readFile(new URL(file, FOLDER), 'utf8');
const files = (await readdir(FOLDER)).filter((f) => f.endsWith('.json')).sort();
const examples = await Promise.all(
  files.map(async (file) => ({ file, ...(JSON.parse(await read(file)) as Example) })),
);

const json = (body: unknown, query = '', headers: { [name: string]: string } = {}): Promise<Reply> =>
  app.ask({
    method: 'POST',
    url: `/v1/squads${query}`,
    headers: { 'content-type': 'application/json', ...headers },
    payload: JSON.stringify(body),
  });
const csv = (text: string | Buffer, query = '?lanes=2&minutes=45', type = 'text/csv'): Promise<Reply> =>
  app.ask({ method: 'POST', url: `/v1/squads${query}`, headers: { 'content-type': type }, payload: text });

async function send({ request, csv: file, query = {} }: Example): Promise<Reply> {
  if (file === undefined) return json(request);
  return csv(await read(file), `?${new URLSearchParams(query).toString()}`);
}

const member = (ref: string) => ({ swimmer: { ref, level: 'novice' } });
const TWO = { lanes: 1, minutes: 45, members: [member('a'), member('b')] };

describe.each(examples)('$file', (example) => {
  test('gives what it says', async () => {
    const reply = await send(example);
    expect(reply.statusCode, reply.body.slice(0, 500)).toBe(200);
    expect(reply.headers['cache-control']).toBe('no-store');
    const answer = SquadAnswer.parse(reply.json());
    const { groups, apart } = example.expect;
    const refs = answer.groups.map((g) => g.members.map((m) => m.ref));
    expect(typeof groups === 'number' ? refs.length : refs).toEqual(groups);
    expect(Object.fromEntries(answer.apart.map((a) => [a.ref, a.status]))).toEqual(apart);
  });

  test('is marked as invented and tells a story', () => {
    expect(example.invented).toBe(true);
    expect(example.summary.length).toBeGreaterThan(10);
    expect(example.description.length).toBeGreaterThan(40);
  });
});

test('the page carries every example under the type in which it is sent', async () => {
  const contract = (await app.ask('/openapi.json')).json();
  const { content } = contract.paths['/v1/squads'].post.requestBody;
  const shown = Object.fromEntries(
    Object.entries<{ examples: object }>(content).map(([type, media]) => [type, Object.keys(media.examples)]),
  );
  const names = (some: typeof examples) => some.map((e) => e.file.replace(/^\d+-|\.json$/g, ''));
  expect(shown).toEqual({
    'application/json': names(examples.filter((e) => e.csv === undefined)),
    'text/csv': names(examples.filter((e) => e.csv !== undefined)),
  });
});

describe('the spreadsheet of forty', () => {
  const forty = examples.find((e) => e.csv !== undefined) as Example;

  test('fills six lanes within the usual sizes and places everybody', async () => {
    const answer = SquadAnswer.parse((await send(forty)).json());
    const sizes = answer.groups.map((g) => g.members.length);
    expect(sizes.reduce((a, b) => a + b, 0) + answer.apart.length).toBe(40);
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(5);
    expect(Math.max(...sizes)).toBeLessThanOrEqual(8);
  });

  test('gives the same bytes with its rows turned round, with semicolons, and with a byte order mark', async () => {
    const text = await read(forty.csv as string);
    const query = `?${new URLSearchParams(forty.query).toString()}`;
    const plain = (await csv(text, query)).body;
    const [header, ...rows] = text.trimEnd().split('\r\n');
    expect((await csv([header, ...rows.reverse()].join('\n'), query)).body).toBe(plain);
    expect((await csv(`\ufeff${text}`, query, 'text/csv; charset=UTF-8; header=present')).body).toBe(plain);
    // no cell of this file holds a comma outside of quotation marks
    const semicolons = text.replace(/("[^"]*")|,/g, (_, quoted?: string) => quoted ?? ';');
    expect((await csv(semicolons, query)).body).toBe(plain);
  });
});

describe('mistakes in JSON', () => {
  test('of all members and of the squad come in one answer', async () => {
    const reply = await json({
      lanes: 0,
      minutes: '60',
      equipment: ['fin'],
      options: { groupSize: { min: 5, max: 4 } },
      members: [
        member('a'),
        { swimmer: { level: 'novice' } },
        { ...member('c'), observations: [{ code: 'hips-lo', severity: 9 }] },
        { ...member('d'), colour: 'red' },
        null,
        member('a'),
      ],
    });
    expect(mistakesOf(reply)).toEqual([
      '/equipment/0 unknown-code',
      '/lanes too-small',
      '/members/1/swimmer/ref required',
      '/members/2/observations/0/code unknown-code',
      '/members/2/observations/0/severity too-big',
      '/members/3/colour unknown-field',
      '/members/4 wrong-type',
      '/members/5/swimmer/ref repeated-ref',
      '/minutes wrong-type',
      '/options/groupSize/min out-of-order',
    ]);
  });

  test.each<[string, unknown, string[]]>([
    ['nothing', {}, ['/lanes required', '/members required', '/minutes required']],
    ['no members', { ...TWO, members: [] }, ['/members too-small']],
    ['a list', [], [' wrong-type']],
    ['members that are no list', { ...TWO, members: {} }, ['/members wrong-type']],
    ['too many lanes', { ...TWO, lanes: SQUAD_LIMITS.lanes + 1 }, ['/lanes too-big']],
    ['a rule set that is not served', { ...TWO, ruleSet: 'front-crawl@9' }, ['/ruleSet unknown-rule-set']],
    [
      'another rule set of a member',
      { ...TWO, members: [{ ...member('a'), ruleSet: 'none' }] },
      ['/members/0/ruleSet unknown-rule-set'],
    ],
  ])('%s', async (_, body, mistakes) => {
    expect(mistakesOf(await json(body))).toEqual(mistakes);
  });

  test('a squad beyond the limit', async () => {
    const members = Array.from({ length: SQUAD_LIMITS.members + 1 }, (_, i) => member(`S-${i}`));
    expect(mistakesOf(await json({ ...TWO, members }))).toEqual(['/members too-big']);
  });

  test('what belongs into the body does not stand in the address', async () => {
    expect(mistakesOf(await json(TWO, '?lanes=2&lane=3'))).toEqual([
      '/lane unknown-field',
      '/lanes csv-only',
    ]);
  });

  test('a thousand mistakes are listed and all are counted', async () => {
    const observations = Array.from({ length: 1200 }, () => ({ code: 'hips-lo', severity: 1 }));
    const reply = await json({ ...TWO, members: [{ ...member('a'), observations }] });
    const { errors = [], detail } = problemOf(reply, 400, 'invalid-request');
    expect(errors.length).toBe(1000);
    expect(detail).toMatch(/^1201 things .* first 1000/);
  });
});

describe('mistakes in CSV', () => {
  test('have their row and column, all in one answer, and a pointer into the JSON that the file stands for', async () => {
    const reply = await csv(
      [
        'ref,level,age,obs:hips-lo,m:stroke-rate,health-asked,pain:knee@left',
        'S-1,novice,200,,30,yes,',
        'S-2,expert,,,"30,5",,',
        '',
        'S-1,novice,,2,500,,3',
      ].join('\n'),
      '?lanes=none&minutes=45&equipment=fin',
    );
    const { errors = [] } = problemOf(reply, 400, 'invalid-request');
    const told = errors.map((e) => `${e.row ?? '-'} ${e.column ?? '-'} ${e.pointer} ${e.code}`).sort();
    expect(told).toEqual(
      [
        '- - /equipment/0 unknown-code',
        '- - /lanes wrong-type',
        '1 obs:hips-lo  unknown-column',
        '2 age /members/0/swimmer/age too-big',
        '3 level /members/1/swimmer/level not-allowed',
        '3 m:stroke-rate /members/1 decimal-mark',
        '5 health-asked /members/2/health/asked required',
        '5 m:stroke-rate /members/2/measurements/0/value impossible-value',
        '5 ref /members/2/swimmer/ref repeated-ref',
      ].sort(),
    );
  });

  test.each<[string, string | Buffer]>([
    ['nothing', ''],
    ['an open quotation mark', 'ref,level\n"a,novice'],
    ['another encoding', Buffer.from('ref,level\nSt\xe4r,novice', 'latin1')],
    ['UTF-16', Buffer.from('\ufeffref,level\na,novice', 'utf16le')],
  ])('%s is malformed-csv', async (_, text) => {
    problemOf(await csv(text), 400, 'malformed-csv');
  });

  test('another charset, and types like it, are 415 and say what is read', async () => {
    for (const type of [
      'text/csv; charset=iso-8859-1',
      'text/csvx',
      'text/plain',
      'text/tab-separated-values',
    ]) {
      const reply = await csv('ref,level\na,novice', undefined, type);
      problemOf(reply, 415, 'unsupported-media-type');
      expect(reply.headers['accept-post']).toBe('application/json, text/csv');
    }
  });

  test('no rows, too many rows', async () => {
    expect(mistakesOf(await csv('ref,level\n'))).toEqual(['/members too-small']);
    const rows = Array.from({ length: 700 }, (_, i) => `S-${i},novice`);
    expect(mistakesOf(await csv(['ref,level', ...rows].join('\n')))).toEqual(['/members too-big']);
  });

  test('other operations do not read CSV', async () => {
    const reply = await app.ask({
      method: 'POST',
      url: '/v1/assessments',
      headers: { 'content-type': 'text/csv' },
      payload: 'ref,level\na,novice',
    });
    problemOf(reply, 415, 'unsupported-media-type');
  });

  test('any text is answered or refused, never with a failure of the service', async () => {
    const cell = fc.oneof(
      fc.string(),
      fc.constantFrom('ref', 'level', 'novice', 'obs:hips-low', '2 sure', '=1', '"'),
    );
    const table = fc.array(fc.array(cell, { maxLength: 5 }), { maxLength: 5 });
    const query = fc.constantFrom('', '?lanes=2&minutes=45', '?lanes=2&lanes=3', '?decimal=x', '?equipment=');
    await fc.assert(
      fc.asyncProperty(table, query, async (rows, asked) => {
        const reply = await csv(rows.map((row) => row.join(',')).join('\n'), asked);
        expect([200, 400]).toContain(reply.statusCode);
      }),
      { numRuns: 150 },
    );
  });
});

describe('cells that look like formulas', () => {
  test('are plain text, and come back as such', async () => {
    const text = 'ref,level,remarks\n"=HYPERLINK(""x"")",novice,@SUM(1)\n+1-1,novice,-2';
    const answer = SquadAnswer.parse((await csv(text)).json());
    const members = answer.groups.flatMap((g) => g.members);
    expect(members.map((m) => m.ref)).toEqual(['+1-1', '=HYPERLINK("x")']);
    expect(members.map((m) => m.notes.find((n) => n.kind === 'coach')?.text)).toEqual(['-2', '@SUM(1)']);
  });
});

describe('limits', () => {
  test('a squad may be eight times as large as one record, and not a byte more', async () => {
    const text = JSON.stringify(TWO);
    const padded = (bytes: number) => text + ' '.repeat(bytes - text.length);
    const post = (payload: string) =>
      app.ask({
        method: 'POST',
        url: '/v1/squads',
        headers: { 'content-type': 'application/json' },
        payload,
      });
    expect((await post(padded(8 * QUIET.BODY_LIMIT_BYTES))).statusCode).toBe(200);
    problemOf(await post(padded(8 * QUIET.BODY_LIMIT_BYTES + 1)), 413, 'body-too-large');
    problemOf(await csv('x'.repeat(8 * QUIET.BODY_LIMIT_BYTES + 1)), 413, 'body-too-large');
  });

  test('what a client refuses is 406', async () => {
    problemOf(await json(TWO, '', { accept: 'image/png' }), 406, 'not-acceptable');
  });
});

describe('in writing', () => {
  test.each([
    ['text/html', 'coach', 'html'],
    ['text/html', 'swimmer', 'html'],
    ['text/markdown', 'coach', 'md'],
    ['text/markdown', 'swimmer', 'md'],
  ])('%s for the %s is a download', async (accept, audience, ending) => {
    const reply = await json(TWO, `?audience=${audience}`, { accept });
    expect(reply.statusCode).toBe(200);
    expect(reply.headers['content-type']).toBe(`${accept}; charset=utf-8`);
    expect(reply.headers['content-disposition']).toBe(`attachment; filename="squad-${audience}.${ending}"`);
    expect(reply.headers.vary).toBe('Accept');
  });

  test('for nobody else', async () => {
    expect(mistakesOf(await json(TWO, '?audience=parents'))).toEqual(['/audience not-allowed']);
  });
});

test('references, metadata and request ids come back', async () => {
  const body = {
    ...TWO,
    requestId: 'club/1',
    metadata: { day: 'Tuesday' },
    members: [{ ...member('a'), requestId: 'club/1/a', metadata: { lane: '3' } }],
  };
  const answer = SquadAnswer.parse((await json(body)).json());
  expect(answer).toMatchObject({ requestId: 'club/1', metadata: { day: 'Tuesday' } });
  expect(answer.groups[0]?.members[0]).toMatchObject({ requestId: 'club/1/a', metadata: { lane: '3' } });
});
