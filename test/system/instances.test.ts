/**
 * Several instances behind a real nginx, set up as in `docker-compose.yml`. Instances are killed one by one while single
 * requests and a large batch are on their way. What happens next depends on counts, never on time.
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { PROBLEMS } from '../../src/server/problems.ts';
import { readExampleFiles } from '../openapi/read-examples.ts';
import { type Counter, createCounter } from './counter.ts';
import { type Fleet, startFleet } from './fleet.ts';
import { sendUntilAnswered } from './resend.ts';

const ASSESS = '/v1/assessments';
const BATCH = '/v1/assessments/batch';
/** Every line is padded to this size, so that the batch is larger than what lies in the buffers of the connections. */
const LINE_BYTES = 6000;
const LINES = 2000;

const records = (await readExampleFiles()).map(({ request }) => ({
  ...request,
  options: { ...request.options, nextLooks: 0 },
}));

let fleet: Fleet;
beforeAll(async () => {
  fleet = await startFleet(3);
});
afterAll(() => fleet?.close());

const post = (url: string, body: string, type = 'application/json'): Promise<Response> =>
  fetch(url, { method: 'POST', headers: { 'content-type': type }, body });

async function answerTo(url: string, record: unknown): Promise<string> {
  const reply = await post(url + ASSESS, JSON.stringify(record));
  return `${reply.status} ${await reply.text()}`;
}

interface Load {
  /** Singles that were answered so far. */
  readonly answered: Counter;
  /** Answers that were not those that an instance gives by itself. */
  readonly wrong: string[];
  /** Ends it and waits for what is on its way. */
  stop(): Promise<void>;
}

/** A few clients that send one record after the other through nginx. */
function load(expected: readonly string[], clients: number): Load {
  let going = true;
  const state: Load = { answered: createCounter(), wrong: [], stop: async () => undefined };
  const client = async (first: number): Promise<void> => {
    for (let i = first; going; i++) {
      const n = i % records.length;
      const answer = await answerTo(fleet.url, records[n]).catch((error) => String(error));
      if (answer !== expected[n]) state.wrong.push(answer.slice(0, 300));
      state.answered.add();
    }
  };
  const all = Array.from({ length: clients }, (_, c) => client(c * 3));
  state.stop = async () => {
    going = false;
    await Promise.all(all);
  };
  return state;
}

describe('instances that are killed one by one', () => {
  test('singles are all answered with the same bytes, and a batch that is sent again ends with one answer for each id', async () => {
    const alone = await Promise.all(
      fleet.instances.map((url) => Promise.all(records.map((record) => answerTo(url, record)))),
    );
    const expected = alone[0] as string[];
    expect(expected.every((answer) => answer.startsWith('200 '))).toBe(true);
    for (const others of alone) expect(others).toEqual(expected);

    const lines = new Map(
      Array.from({ length: LINES }, (_, i) => {
        const line = JSON.stringify({ id: `n${i}`, request: records[i % records.length] });
        return [`n${i}`, `${line.padEnd(LINE_BYTES - 1)}\n`];
      }),
    );
    const singles = load(expected, 3);
    const more = (count: number): Promise<void> => singles.answered.reaches(singles.answered.value + count);
    const quarter = createCounter();
    const killed = createCounter();
    const batch = sendUntilAnswered(fleet.url + BATCH, lines, async (answered) => {
      if (answered < LINES / 4) return;
      // the client stops reading, so the batch cannot end before all three are killed: wherever it is worked on, one of them ends it
      quarter.add();
      await killed.reaches(3);
    });
    const kill = async (i: number): Promise<void> => {
      await fleet.kill(i);
      killed.add();
      await more(20);
    };
    await quarter.reaches(1);
    await kill(0);
    await kill(1);
    await Promise.all([fleet.restart(0), fleet.restart(1)]);
    await kill(2);
    const { answers, sends, twice } = await batch;
    await singles.stop();

    const sent = singles.answered.value;
    console.log(
      `3 instances, 3 killed; singles: ${sent} sent, ${sent - singles.wrong.length} answered alike; ` +
        `batch: ${LINES} ids, ${((LINES * LINE_BYTES) / 1e6).toFixed(0)} MB, sent ${sends} times, ${answers.size} ids answered, ${twice} twice`,
    );
    expect(singles.wrong).toEqual([]);
    expect(sent).toBeGreaterThan(60);
    expect(sends).toBeGreaterThan(1);
    expect([answers.size, twice]).toEqual([LINES, 0]);
    const off = [...lines.keys()].filter(
      (id, i) => answers.get(id) !== `{"id":"${id}","answer":${expected[i % records.length]?.slice(4)}}`,
    );
    expect(off).toEqual([]);
  });
});

describe('what nginx says by itself is a problem of the catalogue', () => {
  test('a body that is too large', async () => {
    const reply = await post(fleet.url + BATCH, ' '.repeat(33 * 1024 * 1024), 'application/x-ndjson');
    expect([reply.status, reply.headers.get('content-type')]).toEqual([413, 'application/problem+json']);
    const { title, status } = PROBLEMS['body-too-large'];
    expect(await reply.json()).toEqual({ type: '/problems/body-too-large', title, status });
  });

  test('no instance is left', async () => {
    for (const i of [0, 1, 2]) await fleet.kill(i);
    const reply = await post(fleet.url + ASSESS, '{}');
    expect([reply.status, reply.headers.get('content-type'), reply.headers.get('retry-after')]).toEqual([
      503,
      'application/problem+json',
      '1',
    ]);
    const { title, status } = PROBLEMS.overloaded;
    expect(await reply.json()).toEqual({ type: '/problems/overloaded', title, status });
  });
});
