/** One content type is read, however it is spelled, and no spelling gets past the checks (RFC 9110 section 8.3). */
import { describe, expect, test } from 'vitest';
import { MINIMAL, mistakesOf, problemOf, sharedApp } from './app.ts';

const app = sharedApp();
const WRONG = JSON.stringify({ swimmer: { level: 'none' } });

describe('content types', () => {
  test.each([
    'application/json',
    'Application/JSON',
    'application/json; charset=utf-8',
    'application/json;charset="utf-8"',
    'application/json ; charset=utf-8',
    'application/json;',
    'application/json\t',
    '\tapplication/json',
    ' application/json',
    '  application/json\t;\tcharset=utf-8',
  ])('%j is read and checked', async (type) => {
    expect(mistakesOf(await app.send(WRONG, type))).toEqual(['/swimmer/level not-allowed']);
    expect((await app.send(JSON.stringify(MINIMAL), type)).statusCode).toBe(200);
  });

  test.each([
    null,
    '',
    ' ',
    'text/plain',
    'text/plain; application/json',
    'text/plain;x=application/json',
    'application/x-www-form-urlencoded',
    'multipart/form-data; boundary=x',
    'application/jsonx',
    'application/json5',
    'application/json-patch+json',
    'application/problem+json',
    'application/json\ta',
    'application/json a',
    'application/json, text/plain',
    'application/json/x',
    'application',
    '*/*',
    '__proto__',
    'constructor',
  ])('%j is 415 and says what to send', async (type) => {
    for (const text of [WRONG, JSON.stringify(MINIMAL)]) {
      const reply = await app.send(text, type);
      problemOf(reply, 415, 'unsupported-media-type');
      // Accept-Post: W3C Linked Data Platform 1.0, section 7.1
      expect(reply.headers['accept-post']).toBe('application/json');
    }
  });

  test('a byte order mark before the JSON is skipped (RFC 8259 section 8.1 allows it)', async () => {
    expect(mistakesOf(await app.send(`\ufeff${WRONG}`))).toEqual(['/swimmer/level not-allowed']);
  });
});
