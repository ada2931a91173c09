/**
 * Agreement of two observers beyond chance: Cohen's kappa (Cohen 1960), weighted for ordered grades (Cohen 1968), with the
 * large-sample standard error of Fleiss, Cohen and Everitt 1969 (all from memory; checked against printed tables).
 */
import { sum } from 'simple-statistics';

const Z95 = 1.96;

export interface Kappa {
  readonly items: number;
  /** Share of items with the same grade, 0 to 1; with weights, the weighted share. */
  readonly agreement: number;
  /** -1 to 1; null when chance alone already agrees fully, because nobody used a second grade. */
  readonly kappa: number | null;
  readonly standardError: number | null;
  /** 95 %, cut at -1 and 1. */
  readonly interval: readonly [number, number] | null;
}

/** How much credit grades `i` and `j` of `k` get together: 1 for the same, 0 for the farthest. */
export type Weight = (i: number, j: number, k: number) => number;
export const same: Weight = (i, j) => (i === j ? 1 : 0);
export const linear: Weight = (i, j, k) => 1 - Math.abs(i - j) / (k - 1);
export const quadratic: Weight = (i, j, k) => 1 - (Math.abs(i - j) / (k - 1)) ** 2;

export function intervalAround(value: number, standardError: number): [number, number] {
  return [Math.max(-1, value - Z95 * standardError), Math.min(1, value + Z95 * standardError)];
}

/**
 * @param table k by k counts: row is the grade of the first observer, column that of the second; at least one item
 * @param weight credit for a pair of grades
 */
export function cohenKappa(table: readonly (readonly number[])[], weight: Weight = same): Kappa {
  const k = table.length;
  const items = sum(table.flat());
  const p = table.map((row) => row.map((n) => n / items));
  const rows = p.map((row) => sum(row));
  const columns = rows.map((_, j) => sum(p.map((row) => row[j] as number)));
  const w = (i: number, j: number): number => weight(i, j, k);
  const over = (f: (i: number, j: number) => number): number =>
    sum(rows.flatMap((_, i) => columns.map((__, j) => f(i, j))));
  const cell = (i: number, j: number): number => p[i]?.[j] as number;
  const observed = over((i, j) => w(i, j) * cell(i, j));
  const chance = over((i, j) => w(i, j) * (rows[i] as number) * (columns[j] as number));
  if (1 - chance < 1e-12)
    return { items, agreement: observed, kappa: null, standardError: null, interval: null };

  const kappa = (observed - chance) / (1 - chance);
  const rowCredit = rows.map((_, i) => sum(columns.map((c, j) => c * w(i, j))));
  const columnCredit = columns.map((_, j) => sum(rows.map((r, i) => r * w(i, j))));
  const spread = over(
    (i, j) =>
      cell(i, j) * (w(i, j) - ((rowCredit[i] as number) + (columnCredit[j] as number)) * (1 - kappa)) ** 2,
  );
  const variance = (spread - (kappa - chance * (1 - kappa)) ** 2) / (items * (1 - chance) ** 2);
  const standardError = Math.sqrt(Math.max(0, variance));
  return { items, agreement: observed, kappa, standardError, interval: intervalAround(kappa, standardError) };
}
