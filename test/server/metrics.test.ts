/** What an operator sees, and that it tells nothing of a request. */
import { describe, expect, test } from 'vitest';
import { MINIMAL, sharedApp } from './app.ts';

const app = sharedApp();
const figures = async (): Promise<string> => (await app.ask('/metrics')).body;
const figure = (text: string, line: string): number =>
  Number(
    text
      .split('\n')
      .find((l) => l.startsWith(`${line} `))
      ?.split(' ')[1] ?? 0,
  );

describe('metrics', () => {
  test('count each operation by its status', async () => {
    const ok = 'crawl_requests_total{operation="assess",status="200"}';
    const bad = 'crawl_requests_total{operation="assess",status="400"}';
    const before = await figures();
    await app.assess(MINIMAL);
    await app.assess(MINIMAL);
    await app.assess({});
    const after = await figures();
    expect(figure(after, ok) - figure(before, ok)).toBe(2);
    expect(figure(after, bad) - figure(before, bad)).toBe(1);
    expect(figure(after, 'crawl_request_seconds_count{operation="assess"}')).toBeGreaterThanOrEqual(3);
  });

  test('addresses that do not exist share one line, whatever they are called', async () => {
    await app.ask('/nowhere');
    const before = await figures();
    for (let i = 0; i < 20; i++) await app.ask(`/nowhere/${i}`);
    const after = await figures();
    const line = 'crawl_requests_total{operation="none",status="404"}';
    expect(figure(after, line) - figure(before, line)).toBe(20);
    expect(after).not.toContain('nowhere');
    expect(after.split('\n').length - before.split('\n').length).toBe(0);
  });

  test('name the rule sets that are served', async () => {
    expect(await figures()).toMatch(
      /crawl_rule_set_info\{name="front-crawl",version="1\.0\.0",digest="sha-256:[0-9a-f]{64}"\} 1/,
    );
  });

  test('are the text format that a scraper asks for, and hold nothing of a request', async () => {
    await app.assess({
      swimmer: { level: 'novice', ref: 'EX-SECRET' },
      coach: { remarks: 'words of a coach' },
    });
    const reply = await app.ask('/metrics');
    expect(reply.headers['content-type']).toMatch(/^text\/plain; version=0\.0\.4/);
    expect(reply.body).not.toMatch(/EX-SECRET|words of a coach/);
  });
});

describe('every answer', () => {
  test.each(['/livez', '/nowhere', '/docs/'])('of %s says how long it took and has an id', async (url) => {
    const { headers } = await app.ask(url);
    expect(headers['x-request-id']).toMatch(/^[0-9a-f-]{36}$/);
    expect(headers['server-timing']).toMatch(/^total;dur=\d+\.\d$/);
  });

  test('to an address that cannot be decoded has an id too', async () => {
    expect((await app.ask('/%zz')).headers['x-request-id']).toMatch(/^[0-9a-f-]{36}$/);
  });

  test('the id is the one of its problem', async () => {
    const reply = await app.assess({});
    expect(reply.json().requestId).toBe(reply.headers['x-request-id']);
  });
});
