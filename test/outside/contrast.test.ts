/**
 * Contrast of the reports: WCAG 2.2 (W3C Recommendation, 2023), success criteria 1.4.3 and 1.4.11, with the relative
 * luminance that the recommendation defines.
 */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import { ACCENT, AGAINST, INK, PALE } from '../../src/report/figures.ts';
import { toHtml } from '../../src/report/html.ts';

/** @param colour #rgb or #rrggbb. */
function luminance(colour: string): number {
  const hex = colour.length === 4 ? colour.slice(1).replace(/./g, '$&$&') : colour.slice(1);
  const [r, g, b] = [0, 2, 4].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

describe('the formula', () => {
  // black on white is 21:1 by definition; #767676 is the lightest grey that passes 4.5:1 on white
  test.each([
    ['#000', '#fff', 21],
    ['#fff', '#fff', 1],
    ['#767676', '#ffffff', 4.54],
    ['#777777', '#ffffff', 4.48],
  ])('%s on %s is %d to 1', (a, b, ratio) => {
    expect(contrast(a, b)).toBeCloseTo(ratio, 2);
  });
});

const style =
  /<style>([\s\S]*?)<\/style>/.exec(toHtml({ language: 'en', title: '-', blocks: [] }))?.[1] ?? '';
const inks = [...style.matchAll(/(?<![\w-])color:(#[0-9a-f]{3,6})/g)].map(([, c]) => c as string);
const grounds = [...style.matchAll(/background:(#[0-9a-f]{3,6})/g)].map(([, c]) => c as string);

describe('the page', () => {
  test('has its colours in its style', () => {
    expect(inks.length).toBeGreaterThanOrEqual(2);
    expect(grounds).toContain('#fff');
    expect(grounds.length).toBeGreaterThanOrEqual(3);
  });

  test.each(inks.flatMap((ink) => grounds.map((ground) => [ink, ground] as const)))(
    'words in %s on %s reach 7 to 1 (1.4.6)',
    (ink, ground) => {
      expect(contrast(ink, ground)).toBeGreaterThanOrEqual(7);
    },
  );
});

describe('the pictures', () => {
  test.each([
    ['words on white', INK, '#fff', 4.5],
    ['words on the pale band', INK, PALE, 4.5],
    ['bars and arrows on white', ACCENT, '#fff', 3],
    ['arrows on the pale band', ACCENT, PALE, 3],
    ['what speaks against, on white', AGAINST, '#fff', 3],
    ['what speaks against, on the pale band', AGAINST, PALE, 3],
  ])('%s: %s on %s reach %d to 1 (1.4.3, 1.4.11)', (_, front, back, least) => {
    expect(contrast(front, back)).toBeGreaterThanOrEqual(least);
  });

  test('have no other colour, and every light one carries words at 4.5 to 1', async () => {
    const drawn = [INK, ACCENT, AGAINST];
    for (const file of ['figures', 'change-figure']) {
      const code = await readFile(new URL(`../../src/report/${file}.ts`, import.meta.url), 'utf8');
      for (const [colour] of code.matchAll(/#[0-9a-f]{3,6}\b/g))
        if (!drawn.includes(colour))
          expect(contrast(INK, colour), `${file}: ${colour}`).toBeGreaterThanOrEqual(4.5);
    }
  });
});
