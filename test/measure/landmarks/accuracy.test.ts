/**
 * The stated standard deviations against swimmers whose true values are known: a film of the forward model is measured, and
 * the model's own number must lie within the stated error as often as for a normal error.
 *
 * The model imports nothing from the service. Its swimmers span the bands of the rule set, their cycles differ as much as its
 * smallest believable changes say, and the cameras are set up as carefully as a coach does it. The figures of each quantity
 * stand in test/forward-model/figures.md.
 */
import { readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import type { Coverage } from '../../forward-model/coverage.ts';
import { accuracyOf, documentOf, overall, tableOf, VIEWS } from '../../forward-model/figures.ts';
import type { View } from '../../forward-model/film.ts';

/** Six views of 200 films each: some seconds alone, more when other tests run beside it. */
const PATIENCE_MS = 300_000;
const byView = new Map<View, Coverage[]>();

describe('200 draws', () => {
  test.each(VIEWS)(
    '%s: a share of 0.58 to 0.78 within one SD, of at least 0.90 within 1.96 SD',
    (view) => {
      const rows = accuracyOf(view);
      byView.set(view, rows);
      const { one, two, count } = overall(rows);
      expect(count).toBeGreaterThan(400);
      expect(one, tableOf(rows)).toBeGreaterThanOrEqual(0.58);
      expect(one, tableOf(rows)).toBeLessThanOrEqual(0.78);
      expect(two, tableOf(rows)).toBeGreaterThanOrEqual(0.9);
    },
    PATIENCE_MS,
  );

  test('all views together', () => {
    const { one, two } = overall([...byView.values()].flat());
    expect(one).toBeGreaterThanOrEqual(0.58);
    expect(one).toBeLessThanOrEqual(0.78);
    expect(two).toBeGreaterThanOrEqual(0.9);
  });

  test('no quantity of any view is far off: what is stated is neither boast nor alarm', () => {
    for (const [view, rows] of byView)
      for (const row of rows.filter((r) => r.count >= 100)) {
        const said = `${view}: ${tableOf([row])}`;
        expect(row.one, said).toBeGreaterThan(0.55);
        expect(row.one, said).toBeLessThan(0.85);
        expect(row.two, said).toBeGreaterThan(0.85);
        expect(Math.abs(row.meanZ), said).toBeLessThan(0.6);
      }
  });

  test('figures.md holds these figures', async () => {
    const file = new URL('../../forward-model/figures.md', import.meta.url);
    expect(await readFile(file, 'utf8')).toBe(documentOf(byView));
  });
});
