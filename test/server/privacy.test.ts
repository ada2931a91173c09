/** Nothing that a coach writes about a swimmer reaches the log, even at the most talkative level. */
import { connect } from 'node:net';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Running, startProcess } from './process.ts';

const SECRETS = {
  ref: 'zq-ref-7f3a',
  note: 'zq-note-51cc',
  remark: 'zq-remark-9b0e',
  requestId: 'zq-request-2d44',
  metadata: 'zq-metadata-e81f',
  observer: 'zq-observer-c3d7',
  because: 'zq-because-66aa',
  query: 'zq-query-08bd',
  header: 'zq-header-f5f5',
  field: 'zq-field-1e2e',
  code: 'zq-code-3333',
  raw: 'zq-raw-b7b7',
} as const;

const RECORD = {
  requestId: SECRETS.requestId,
  metadata: { [SECRETS.metadata]: SECRETS.metadata },
  swimmer: { ref: SECRETS.ref, level: 'novice', age: 44 },
  health: { asked: true, signs: ['chest-pain'] },
  observations: [
    { code: 'hips-low', severity: 2, note: SECRETS.note, observer: SECRETS.observer },
    { code: 'head-held-high', severity: 2 },
  ],
  coach: {
    remarks: SECRETS.remark,
    rejectCauses: [{ cause: 'head-high-habit', because: SECRETS.because }],
  },
};

let service: Running;
beforeAll(async () => {
  service = await startProcess({ LOG_LEVEL: 'trace' });
});
afterAll(async () => {
  await service.stop();
});

async function post(text: string, headers: { [name: string]: string } = {}): Promise<number> {
  const reply = await fetch(`${service.url}/v1/assessments?who=${SECRETS.query}`, {
    method: 'POST',
    body: text,
    headers: {
      'content-type': 'application/json',
      authorization: `Bearer ${SECRETS.header}`,
      cookie: `a=${SECRETS.header}`,
      'user-agent': SECRETS.header,
      referer: `http://127.0.0.1/${SECRETS.header}`,
      ...headers,
    },
  });
  await reply.text();
  return reply.status;
}

/** Sends bytes that are no HTTP. @returns what came back. */
async function sendRaw(text: string): Promise<string> {
  const { port, hostname } = new URL(service.url);
  let answer = '';
  const socket = connect(Number(port), hostname);
  socket.setEncoding('utf8').on('data', (chunk: string) => {
    answer += chunk;
  });
  socket.end(text);
  await new Promise((resolve) => socket.once('close', resolve));
  return answer;
}

describe('the log', () => {
  test('holds no word of any request, answered or refused', async () => {
    expect(await post(JSON.stringify(RECORD))).toBe(200);
    expect(await post(JSON.stringify({ ...RECORD, health: { asked: true } }))).toBe(200);
    expect(await post(JSON.stringify({ ...RECORD, [SECRETS.field]: 1 }))).toBe(400);
    const unknown = { ...RECORD, observations: [{ code: SECRETS.code, severity: 1, note: SECRETS.note }] };
    expect(await post(JSON.stringify(unknown))).toBe(400);
    expect(await post(JSON.stringify({ ...RECORD, ruleSet: SECRETS.code }))).toBe(400);
    expect(await post(`{"swimmer":{"ref":"${SECRETS.ref}"`)).toBe(400);
    expect(await post(`${SECRETS.ref}`)).toBe(400);
    expect(await post(`{"__proto__":"${SECRETS.ref}"}`)).toBe(400);
    expect(await post(SECRETS.ref, { 'content-type': `text/${SECRETS.header}` })).toBe(415);
    // the service answers before it has read everything and hangs up, which some clients report as a broken pipe
    expect([413, 'hung up']).toContain(await post(SECRETS.ref.repeat(200_000)).catch(() => 'hung up'));
    // half of a surrogate pair has no canonical form: the most likely way into an unexpected error
    await post(JSON.stringify({ ...RECORD, coach: { remarks: `${SECRETS.remark}\ud800` } }));
    expect((await fetch(`${service.url}/nothing?who=${SECRETS.query}`)).status).toBe(404);
    expect((await fetch(`${service.url}/%zz?who=${SECRETS.query}`)).status).toBe(400);
    const blank = `${service.url}/v1/rule-sets/front-crawl/1.0.0/blank-record?views=${SECRETS.query}`;
    expect((await fetch(blank)).status).toBe(400);
    expect(await sendRaw(`${SECRETS.raw}\r\n\r\n`)).toMatch(/^HTTP\/1\.1 400 /);
    expect(await sendRaw(`GET /livez HTTP/1.1\r\nA: ${SECRETS.raw.repeat(5000)}\r\n\r\n`)).toMatch(
      /^HTTP\/1\.1 4\d\d /,
    );

    expect(await service.stop()).toBe(0);
    const printed = service.printed();
    // the test would be empty if nothing were logged at all
    expect(printed).toContain('"path":"/v1/assessments"');
    expect(printed).toContain('"statusCode":413');
    const leaked = Object.entries(SECRETS).filter(([, secret]) => printed.includes(secret));
    expect(leaked.map(([where]) => where)).toEqual([]);
    // a swimmer's health is not told by its code either
    expect(printed).not.toContain('chest-pain');
  });
});
