/** Agreement of several observers beyond chance: Fleiss' kappa (Fleiss 1971, from memory; checked against printed tables). */
import { mean, sum } from 'simple-statistics';
import { intervalAround, type Kappa } from './kappa.ts';

/**
 * @param counts a row an item: how many observers gave each grade; every row has the same number of observers, two or more
 * @returns kappa without a standard error: see `jackknifed`
 */
export function fleissKappa(counts: readonly (readonly number[])[]): Kappa {
  const observers = sum([...(counts[0] as readonly number[])]);
  const perItem = counts.map(
    (row) => (sum(row.map((n) => n * n)) - observers) / (observers * (observers - 1)),
  );
  const agreement = mean(perItem);
  const grades = (counts[0] as readonly number[]).map(
    (_, g) => sum(counts.map((row) => row[g] as number)) / (counts.length * observers),
  );
  const chance = sum(grades.map((p) => p * p));
  const kappa = 1 - chance < 1e-12 ? null : (agreement - chance) / (1 - chance);
  return { items: counts.length, agreement, kappa, standardError: null, interval: null };
}

/**
 * Standard error by leaving out one swim at a time (Tukey's jackknife): both arms of one swim are not two independent items.
 *
 * @param swims items by swim
 * @param figure of a list of items; null where it cannot be told
 * @returns null with fewer than three swims, or where a swim left out leaves no figure
 */
export function jackknifed<T>(
  swims: readonly (readonly T[])[],
  figure: (items: readonly T[]) => number | null,
): { standardError: number; interval: readonly [number, number] } | null {
  const whole = figure(swims.flat());
  if (whole === null || swims.length < 3) return null;
  const without = swims.map((_, left) => figure(swims.filter((__, i) => i !== left).flat()));
  if (!without.every((v) => v !== null)) return null;
  const centre = mean(without);
  const standardError = Math.sqrt(
    ((swims.length - 1) / swims.length) * sum(without.map((v) => (v - centre) ** 2)),
  );
  return { standardError, interval: intervalAround(whole, standardError) };
}
