/**
 * Fits how often a finding shows: its background, and `shows` of each link into it, by penalised likelihood of the noisy-OR
 * network. Each authored number counts as much as a number of swimmers seen (a Beta prior whose top is the authored
 * number), so that no data move nothing and few data move little.
 */
import type { Counted, Situation } from './rows.ts';

export interface Frequencies {
  readonly background: number;
  /** By id of the link. */
  readonly shows: Readonly<Record<string, number>>;
}

/** Each authored number is worth this many swimmers who were looked at (judgement). */
export const AUTHORED_SWIMMERS = 10;
/** `shows` stays this far above the background, and both inside the open interval. */
const APART = 0.02;
const [LEAST, MOST] = [0.002, 0.99];
const ROUNDS = 50;
const SETTLED = 1e-5;

const alone = (shows: number, background: number): number => (shows - background) / (1 - background);

/** Chance that the finding is there in this situation. */
export function chanceOf(row: Situation, { background, shows }: Frequencies): number {
  let none = 1 - background;
  for (const parents of row.rivals) {
    let strongest = 0;
    for (const { link, there } of parents)
      strongest = Math.max(strongest, there * alone(shows[link] as number, background));
    none *= 1 - strongest;
  }
  return 1 - none;
}

const prior = (value: number, authored: number): number =>
  AUTHORED_SWIMMERS * (authored * Math.log(value) + (1 - authored) * Math.log(1 - value));

/** Log-likelihood of the reports, plus the pull of the authored numbers. */
export function worth(rows: readonly Counted[], at: Frequencies, authored: Frequencies): number {
  let total = prior(at.background, authored.background);
  for (const link of Object.keys(at.shows))
    total += prior(at.shows[link] as number, authored.shows[link] as number);
  for (const row of rows) total += row.count * Math.log1p((row.lambda - 1) * chanceOf(row, at));
  return total;
}

/** Golden-section search for the top of a function with one top. */
export function topBetween(low: number, high: number, f: (x: number) => number): number {
  const ratio = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [x, y] = [b - ratio * (b - a), a + ratio * (b - a)];
  let [fx, fy] = [f(x), f(y)];
  while (b - a > SETTLED / 10) {
    if (fx < fy) {
      [a, x, fx] = [x, y, fy];
      y = a + ratio * (b - a);
      fy = f(y);
    } else {
      [b, y, fy] = [y, x, fx];
      x = b - ratio * (b - a);
      fx = f(x);
    }
  }
  return (a + b) / 2;
}

/**
 * One number at a time until none moves. The likelihood is concave in each `shows`, and the pull is too.
 *
 * @param start where to begin; the authored numbers, or those of a fit on nearly the same rows
 * @returns the authored numbers exactly where there are no rows
 */
export function fitFinding(rows: readonly Counted[], authored: Frequencies, start = authored): Frequencies {
  if (rows.length === 0) return authored;
  const spoken = new Set(rows.flatMap((r) => r.rivals.flat().flatMap((p) => (p.there > 0 ? [p.link] : []))));
  let at: Frequencies = { background: start.background, shows: { ...start.shows } };
  for (let round = 0; round < ROUNDS; round++) {
    const before = at;
    for (const link of Object.keys(authored.shows)
      .filter((l) => spoken.has(l))
      .sort()) {
      const with_ = (value: number): Frequencies => ({ ...at, shows: { ...at.shows, [link]: value } });
      at = with_(topBetween(at.background + APART, MOST, (x) => worth(rows, with_(x), authored)));
    }
    const roof = Math.min(...Object.values(at.shows)) - APART;
    if (roof > LEAST) {
      const with_ = (value: number): Frequencies => ({ ...at, background: value });
      at = with_(topBetween(LEAST, roof, (x) => worth(rows, with_(x), authored)));
    }
    if (distanceOf(before, at) < SETTLED) break;
  }
  return at;
}

function distanceOf(a: Frequencies, b: Frequencies): number {
  const gaps = Object.keys(a.shows).map((l) => Math.abs((a.shows[l] as number) - (b.shows[l] as number)));
  return Math.max(Math.abs(a.background - b.background), ...gaps);
}
