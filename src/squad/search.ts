/**
 * A good grouping of a larger squad, by simulated annealing (Kirkpatrick, Gelatt and Vecchi 1983, from memory): swimmers
 * move and change places; a change for the worse is taken the less often the colder it gets. Then every swimmer in turn
 * takes the best move or exchange that is left, until nothing helps any more.
 *
 * The draws come from a fixed sequence, so that the same squad gives the same groups.
 */
import { emptyTally, type Field, meritOf, put, type Swimmer, type Tally, take } from './points.ts';
import { groupCounts, type Sizes } from './sizes.ts';

/** Less than this is rounding. */
const GAIN = 1e-9;
/** Points that are given up easily at the start and at the end; an own first focus is worth up to 1. */
const HOT = 0.3;
const COLD = 0.05;
/** Price of a broken rule of levels on the way: low enough to pass through, too high to stay. */
const SOFT_BREAK = 2;
/** Beyond this many swimmers there is one long run in place of several short ones. */
const LARGE = 60;
/** Steps of one run, so that grouping costs less than reading the records: for each swimmer, or in all. */
const STEPS_EACH = 300;
const STEPS_LARGE = 150_000;
/** Share of steps that move one swimmer, where sizes allow it; the others exchange two. */
const MOVES = 0.3;
/** Groups that a swimmer looks at closely for an exchange at the end. */
const NEAREST = 3;

type Key = (s: Swimmer) => readonly (string | number)[];
const first = (s: Swimmer): string => s.aims[0]?.cause ?? '';
const second = (s: Swimmer): string => s.aims[1]?.cause ?? '';
const pace = (s: Swimmer): number => s.pace?.secondsPer100 ?? 0;
const age = (s: Swimmer): number => Number(s.adult ?? true);

/** Each run starts from the squad in another order, cut into groups. */
const ORDERS: readonly Key[] = [
  (s) => [s.level, age(s), first(s), second(s), pace(s)],
  (s) => [age(s), s.level, pace(s), first(s)],
  (s) => [first(s), s.level, age(s), pace(s)],
  (s) => [second(s), s.level, age(s), pace(s)],
];

function compare(a: readonly (string | number)[], b: readonly (string | number)[]): number {
  const at = a.findIndex((x, i) => x !== b[i]);
  return at < 0 ? 0 : (a[at] as string | number) < (b[at] as string | number) ? -1 : 1;
}

function tallyOf(members: readonly number[], field: Field): Tally {
  const tally = emptyTally(field);
  for (const i of members) put(tally, i, field);
  return tally;
}

/**
 * The best way to cut a row of swimmers into so many groups, by dynamic programming over the places to cut. In the order
 * of levels it also breaks their rule as seldom as can be.
 */
function cut(groups: number, key: Key, field: Field, sizes: Sizes): Tally[] {
  const keyed = field.swimmers.map((s, i) => ({ i, key: key(s) }));
  const row = keyed.sort((a, b) => compare(a.key, b.key) || a.i - b.i).map(({ i }) => i);
  const worst = Number.NEGATIVE_INFINITY;
  // best[k][end]: worth of the first `end` swimmers in k groups; from[k][end]: where the last of them begins
  const best = Array.from({ length: groups + 1 }, () => new Float64Array(row.length + 1).fill(worst));
  const from = Array.from({ length: groups + 1 }, () => new Int32Array(row.length + 1));
  (best[0] as Float64Array)[0] = 0;
  for (let end = 1; end <= row.length; end++) {
    const tally = emptyTally(field);
    for (let start = end - 1; start >= Math.max(0, end - sizes.max); start--) {
      put(tally, row[start] as number, field);
      if (end - start < sizes.min) continue;
      const merit = meritOf(tally, field);
      for (let k = 1; k <= groups; k++) {
        const total = (best[k - 1]?.[start] ?? worst) + merit;
        if (total <= (best[k]?.[end] ?? worst)) continue;
        (best[k] as Float64Array)[end] = total;
        (from[k] as Int32Array)[end] = start;
      }
    }
  }
  const tallies: Tally[] = [];
  for (let k = groups, end = row.length; k > 0; k--) {
    const start = from[k]?.[end] ?? 0;
    tallies.push(tallyOf(row.slice(start, end), field));
    end = start;
  }
  return tallies;
}

/** Numbers from 0 to 1 in a fixed sequence (linear congruential, constants of Knuth and Lewis, from memory). */
function fixedDraws(): () => number {
  let state = 1;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

function exchange(i: number, from: Tally, to: Tally, back: number | undefined, field: Field): void {
  take(from, i, field);
  put(to, i, field);
  if (back === undefined) return;
  take(to, back, field);
  put(from, back, field);
}

/** @param tallies two or more; changed in place. */
function anneal(tallies: readonly Tally[], field: Field, sizes: Sizes, draw: () => number): void {
  const below = (n: number): number => Math.floor(draw() * n);
  const swimmers = field.swimmers.length;
  const merits = new Map(tallies.map((t) => [t, meritOf(t, field, SOFT_BREAK)]));
  const home = homesOf(tallies);
  const steps = swimmers > LARGE ? STEPS_LARGE : STEPS_EACH * swimmers;
  for (let step = 0; step < steps; step++) {
    const heat = HOT * (COLD / HOT) ** (step / steps);
    const i = below(swimmers);
    const from = home[i] as Tally;
    const to = tallies[below(tallies.length)] as Tally;
    if (to === from) continue;
    const free = to.members.length < sizes.max && from.members.length > sizes.min;
    const back = free && draw() < MOVES ? undefined : (to.members[below(to.members.length)] as number);
    const before = (merits.get(from) as number) + (merits.get(to) as number);
    exchange(i, from, to, back, field);
    const [merit, other] = [meritOf(from, field, SOFT_BREAK), meritOf(to, field, SOFT_BREAK)];
    const gain = merit + other - before;
    if (gain < 0 && draw() >= Math.exp(gain / heat)) {
      if (back === undefined) exchange(i, to, from, undefined, field);
      else exchange(back, from, to, i, field);
      continue;
    }
    merits.set(from, merit).set(to, other);
    home[i] = to;
    if (back !== undefined) home[back] = from;
  }
}

function homesOf(tallies: readonly Tally[]): Tally[] {
  const home: Tally[] = [];
  for (const tally of tallies) for (const i of tally.members) home[i] = tally;
  return home;
}

interface Move {
  readonly gain: number;
  readonly to: Tally;
  /** Who comes back in exchange; undefined: nobody. */
  readonly back: number | undefined;
}

/** The best move of a swimmer out of his group. The tallies are left as they were. */
function bestMove(
  i: number,
  from: Tally,
  tallies: readonly Tally[],
  field: Field,
  sizes: Sizes,
): Move | undefined {
  let best: Move | undefined;
  const consider = (gain: number, to: Tally, back?: number): void => {
    if (gain > (best?.gain ?? 0) + GAIN) best = { gain, to, back };
  };
  const before = meritOf(from, field);
  const others = tallies.filter((t) => t !== from).map((to) => ({ to, before: before + meritOf(to, field) }));
  take(from, i, field);
  for (const { to } of others) put(to, i, field);
  const without = meritOf(from, field);
  const options = others.map((o) => ({ ...o, gain: without + meritOf(o.to, field) - o.before }));
  for (const { to, gain } of options) {
    // counted with the swimmer already in the other group and out of his own
    if (to.members.length <= sizes.max && from.members.length >= sizes.min) consider(gain, to);
  }
  for (const o of options.sort((a, b) => b.gain - a.gain).slice(0, NEAREST)) {
    for (const j of o.to.members.filter((m) => m !== i)) {
      exchange(j, o.to, from, undefined, field);
      consider(meritOf(from, field) + meritOf(o.to, field) - o.before, o.to, j);
      exchange(j, from, o.to, undefined, field);
    }
  }
  for (const { to } of others) take(to, i, field);
  put(from, i, field);
  return best;
}

function settle(tallies: readonly Tally[], field: Field, sizes: Sizes): void {
  const home = homesOf(tallies);
  for (let quiet = 0, i = 0; quiet < home.length; i = (i + 1) % home.length) {
    const from = home[i] as Tally;
    const move = bestMove(i, from, tallies, field, sizes);
    quiet++;
    if (move === undefined) continue;
    quiet = 0;
    exchange(i, from, move.to, move.back, field);
    home[i] = move.to;
    if (move.back !== undefined) home[move.back] = from;
  }
}

/** @returns groups of indices. */
export function groupBySearch(field: Field, lanes: number, sizes: Sizes): number[][] {
  const large = field.swimmers.length > LARGE;
  const draw = fixedDraws();
  let best: { merit: number; groups: number[][] } | undefined;
  const consider = (tallies: readonly Tally[]): void => {
    settle(tallies, field, sizes);
    const merit = tallies.reduce((sum, t) => sum + meritOf(t, field), 0);
    if (best === undefined || merit > best.merit + GAIN)
      best = { merit, groups: tallies.map((t) => [...t.members].sort((a, b) => a - b)) };
  };
  for (const count of groupCounts(field.swimmers.length, lanes, sizes).slice(large ? -1 : -2)) {
    for (const key of large ? ORDERS.slice(0, 1) : ORDERS) {
      const start = cut(count, key, field, sizes);
      const tallies = start.map((t) => tallyOf(t.members, field));
      consider(start);
      if (count === 1) continue;
      anneal(tallies, field, sizes, draw);
      consider(tallies);
    }
  }
  return best?.groups ?? [];
}
