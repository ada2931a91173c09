import { describe, expect, test } from 'vitest';
import { at, faultsAfter, found, shipped } from './shipped.ts';

describe('what a link shows', () => {
  const { shows: words, background: backgrounds } = shipped.parts.constants.words;
  const pairs = Object.entries(words).flatMap(([word, share]) =>
    Object.entries(backgrounds).map(([back, often]) => [word, back, share > often] as const),
  );

  test.each(pairs)('"%s" against a background of "%s" is allowed: %s', (word, back, allowed) => {
    const finding = at(shipped.parts.findings, 0).code;
    const faults = faultsAfter((d) => {
      at(d.findings, 0).background = back;
      d.links = [at(d.links, 0)];
      Object.assign(at(d.links, 0).event.params, { finding, shows: word });
    }).filter((f) => f.startsWith('links.json'));
    expect(faults).toEqual(
      allowed
        ? []
        : [
            `links.json#/0/event/params/shows: "${word}" is no more than the background of "${finding}": seeing it would speak against the cause`,
          ],
    );
  });

  test('exactly as often as without the cause is not allowed', () => {
    const faults = faultsAfter((d) => {
      const { finding, shows: word } = at(d.links, 0).event.params;
      const { background: back } = found(d.findings, (f) => f.code === finding).entry;
      for (const key of Object.keys(d.constants.words.shows)) d.constants.words.shows[key] = 0.9;
      d.constants.words.background[back] = 0.9;
      expect(d.constants.words.shows[word]).toBe(0.9);
    });
    expect(faults).toContainEqual(
      expect.stringMatching(/^links\.json#\/0\/event\/params\/shows: .* is no more than/),
    );
  });
});
