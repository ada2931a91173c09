import { describe, expect, test } from 'vitest';
import { shipped } from './shipped.ts';
import {
  type Ban,
  BODY_REMARKS,
  BREATH_HOLDING,
  FORBIDDEN_THERE,
  PROMISES,
  TOLD_AS_FAULT,
} from './wording.ts';

const texts = new Map<string, string>();
(function collect(value: unknown, place: string): void {
  if (typeof value === 'string') texts.set(place, value);
  else if (value !== null && typeof value === 'object')
    for (const [key, part] of Object.entries(value)) collect(part, `${place}/${key}`);
})(shipped.texts, '');

const bans = [BREATH_HOLDING, BODY_REMARKS, PROMISES];
const breaks = (ban: Ban, text: string): boolean => ban.patterns.some((pattern) => pattern.test(text));
const hits = (ban: Ban): string[] => [...texts.keys()].filter((place) => breaks(ban, texts.get(place) ?? ''));
const isCommonError = (place: string): boolean => /^\/drills\/[^/]+\/commonErrors\/\d+$/.test(place);
const isAllowed = (place: string): boolean =>
  place in FORBIDDEN_THERE || TOLD_AS_FAULT.includes(place) || isCommonError(place);

describe.each(bans)('a text that $name', (ban) => {
  test('is nowhere, save where it is forbidden or told as a fault', () => {
    const told = hits(ban).filter((place) => !isAllowed(place));
    expect(told.map((place) => `${place}: ${texts.get(place)}`)).toEqual([]);
  });

  test.each(ban.caught)('would be found: "%s"', (sentence) => {
    expect(breaks(ban, sentence)).toBe(true);
  });

  test.each(ban.passed)('is not: "%s"', (sentence) => {
    expect(breaks(ban, sentence)).toBe(false);
  });

  test('is described by patterns that each have an example', () => {
    expect(ban.patterns.filter((pattern) => !ban.caught.some((s) => pattern.test(s)))).toEqual([]);
  });
});

describe('the places that are allowed to name it', () => {
  test.each(Object.entries(FORBIDDEN_THERE))('%s: forbids it or leaves it to comfort', (_, [text, words]) => {
    expect(texts.get(text)).toMatch(words);
  });

  test('are all needed', () => {
    const needed = new Set(bans.flatMap(hits));
    expect([...Object.keys(FORBIDDEN_THERE), ...TOLD_AS_FAULT].filter((place) => !needed.has(place))).toEqual(
      [],
    );
  });

  test('common errors name it about breathing only', () => {
    expect(hits(BREATH_HOLDING).filter(isCommonError).length).toBeGreaterThan(0);
    expect([BODY_REMARKS, PROMISES].flatMap(hits).filter(isCommonError)).toEqual([]);
  });
});

test('the scan reads every text of the language file', () => {
  let count = 0;
  JSON.parse(JSON.stringify(shipped.texts), (_, value: unknown) => {
    if (typeof value === 'string') count++;
    return value;
  });
  expect(texts.size).toBe(count);
  expect(texts.size).toBeGreaterThan(3000);
});
