/** Every problem that is sent has a page that says what happened and how to mend it. */
import { describe, expect, test } from 'vitest';
import { LINTS } from '../../src/authoring/lint/catalogue.ts';
import { PROBLEMS, type ProblemSlug, rawProblem } from '../../src/server/problems.ts';
import { ASSESS, MINIMAL, type Reply, sharedApp } from './app.ts';
import { BATCH, NDJSON } from './batch/batches.ts';

const app = sharedApp();
const SLUGS = Object.keys(PROBLEMS) as ProblemSlug[];

describe('pages', () => {
  test.each(SLUGS)('/problems/%s says what happened and how to mend it', async (slug) => {
    const { title, status, what, mend } = PROBLEMS[slug];
    const reply = await app.ask(`/problems/${slug}`);
    expect(reply.statusCode).toBe(200);
    expect(reply.headers['content-type']).toBe('text/html; charset=utf-8');
    for (const part of [`<h1>${title}</h1>`, `${status}`, `/problems/${slug}`]) {
      expect(reply.body).toContain(part);
    }
    // a browser shows a quotation mark whether or not it is escaped
    const shown = reply.body.replaceAll('&quot;', '"').replaceAll('&#34;', '"');
    expect(shown).toContain(what);
    expect(shown).toContain(mend);
  });

  test('the list leads to every page and to nothing else', async () => {
    const reply = await app.ask('/problems');
    const links = [...reply.body.matchAll(/href="(\/problems\/[^"]+)"/g)].map((m) => m[1] as string);
    const pages = [...SLUGS, ...Object.keys(LINTS).map((id) => `lint-${id}`)];
    expect(links.sort()).toEqual(pages.map((slug) => `/problems/${slug}`).sort());
  });

  test.each(Object.entries(LINTS))(
    '/problems/lint-%s says what, why, how to mend and when to leave it',
    async (id, l) => {
      const reply = await app.ask(`/problems/lint-${id}`);
      expect(reply.statusCode).toBe(200);
      for (const part of [`<h1>${l.title}</h1>`, `<code>${id}</code>`, l.what, l.why, l.mend, l.ignore])
        expect(reply.body).toContain(part);
    },
  );

  test.each(['lint-', 'lint-nothing', 'lint-constructor'])('/problems/%s is not there', async (slug) => {
    expect((await app.ask(`/problems/${slug}`)).statusCode).toBe(404);
  });

  test('are well-formed pages, because no text of theirs holds a mark of HTML', () => {
    const texts = [...Object.values(LINTS), ...Object.values(PROBLEMS)].flatMap((entry) =>
      Object.values(entry),
    );
    expect(texts.filter((text) => /[<>&]/.test(String(text)))).toEqual([]);
  });

  test('slugs are fit for an address and statuses are those of failures', () => {
    for (const [slug, { status }] of Object.entries(PROBLEMS)) {
      expect(slug).toMatch(/^[a-z]+(-[a-z]+)*$/);
      expect(status).toBeGreaterThanOrEqual(400);
      expect(status).toBeLessThanOrEqual(599);
    }
  });
});

describe('types that are sent', () => {
  const json = { 'content-type': 'application/json' };
  const post = (payload: string, headers: { [name: string]: string } = json) =>
    app.ask({ method: 'POST', url: ASSESS, payload, headers });
  const SENT: [ProblemSlug, () => Promise<Reply>][] = [
    ['invalid-request', () => post('{}')],
    ['malformed-json', () => post('{')],
    [
      'malformed-csv',
      () =>
        app.ask({ method: 'POST', url: '/v1/squads', payload: '"', headers: { 'content-type': 'text/csv' } }),
    ],
    ['too-deep', () => post('['.repeat(99) + ']'.repeat(99))],
    ['bad-url', () => app.ask('/%zz')],
    ['not-found', () => app.ask('/nothing')],
    ['method-not-allowed', () => app.ask(ASSESS)],
    ['not-acceptable', () => post(JSON.stringify(MINIMAL), { ...json, accept: 'image/png' })],
    ['body-too-large', () => post(JSON.stringify(MINIMAL) + ' '.repeat(1_048_576))],
    ['unsupported-media-type', () => post('a=1', { 'content-type': 'application/x-www-form-urlencoded' })],
  ];

  test.each(SENT)('%s is sent with the address of its page', async (slug, send) => {
    const reply = await send();
    const { type, title } = reply.json();
    expect(type).toBe(`/problems/${slug}`);
    expect(title).toBe(PROBLEMS[slug].title);
    expect(reply.statusCode).toBe(PROBLEMS[slug].status);
    expect((await app.ask(type)).statusCode).toBe(200);
  });

  // in a line of a batch, whose answer as a whole is a 200
  const IN_A_LINE: [ProblemSlug, string][] = [['line-too-long', `"${'x'.repeat(1_048_576)}"`]];

  test.each(IN_A_LINE)('%s is told in its line with the address of its page', async (slug, payload) => {
    const reply = await app.ask({ method: 'POST', url: BATCH, headers: NDJSON, payload });
    const { problem } = JSON.parse(reply.body);
    const { title, status } = PROBLEMS[slug];
    expect(problem).toMatchObject({ type: `/problems/${slug}`, title, status });
    expect((await app.ask(problem.type)).statusCode).toBe(200);
  });

  // of a service that is small, busy or closing: test/server/work/threads.test.ts, test/server/drafts.test.ts, test/server/operations.test.ts
  const OF_A_STATE: ProblemSlug[] = [
    'too-many-lines',
    'overloaded',
    'shutting-down',
    'too-costly',
    'not-ready',
  ];

  // below HTTP there is no request to answer through, and a failure of the service itself is no one's request
  const BELOW: ProblemSlug[] = ['bad-http', 'timed-out', 'internal-error'];

  test.each(BELOW)('%s can be written to a bare connection', (slug) => {
    const [head, body] = rawProblem(slug).split('\r\n\r\n') as [string, string];
    expect(head).toMatch(new RegExp(`^HTTP/1\\.1 ${PROBLEMS[slug].status} [A-Z]`));
    expect(head).toContain('Content-Type: application/problem+json');
    expect(head).toContain(`Content-Length: ${Buffer.byteLength(body)}`);
    expect(head).toContain('Connection: close');
    expect(JSON.parse(body)).toEqual({
      type: `/problems/${slug}`,
      title: PROBLEMS[slug].title,
      status: PROBLEMS[slug].status,
    });
  });

  // only where keys are configured: test/server/access sends them
  const WITH_KEYS: ProblemSlug[] = ['not-authenticated', 'not-allowed', 'too-many-requests'];

  test('no problem is listed that is never sent', () => {
    const sent = [...SENT, ...IN_A_LINE].map(([slug]) => slug);
    expect([...sent, ...OF_A_STATE, ...BELOW, ...WITH_KEYS].sort()).toEqual([...SLUGS].sort());
  });
});
