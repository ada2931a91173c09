/**
 * Which lines count whole, in part or not at all: the stronger side of a finding, and half for each further line of a
 * group. Sides that tie share one line evenly; to name one of them first would make left and right differ.
 */
import type { Constants } from '../../knowledge/parts.ts';
import { db } from './decibans.ts';
import type { Child, Network, Pair } from './network.ts';

type Settings = Pick<Constants['propagation'], 'groupDiscount' | 'ties'>;

/** A pair with its weight in dB. */
interface Line {
  readonly pair: number;
  readonly db: number;
}

/** Weights closer than this differ by rounding only. */
const TIE_DB = 1e-6;

/** The lists of pairs that have to share, as far as a record speaks of them. */
export interface Competing {
  readonly sides: readonly (readonly number[])[];
  readonly groups: readonly (readonly number[])[];
}

/** @param heard 1 for each child with a report, of its own or from its own children. */
export function competingOf(net: Network, heard: Uint8Array): Competing {
  const isHeard = (i: number): boolean => heard[(net.pairs[i] as Pair).child] === 1;
  return {
    sides: net.strongerSide.filter((list) => list.some(isHeard)),
    // one line alone has nothing to share with
    groups: net.groups.filter((list) => list.filter(isHeard).length > 1),
  };
}

const childOf = (net: Network, pair: number): Child => net.children[(net.pairs[pair] as Pair).child] as Child;

/** Lines that say the same on both sides of the body: told apart by nothing but their names. */
function twinsOf(line: Line, lines: readonly Line[], net: Network, { ties }: Settings): readonly Line[] {
  if (ties === 'first') return [line];
  const { code } = childOf(net, line.pair);
  return lines.filter((l) => childOf(net, l.pair).code === code && Math.abs(l.db - line.db) <= TIE_DB);
}

function chooseSide(factor: Float64Array, told: readonly Line[], net: Network, c: Settings): void {
  const best = told.reduce((a, b) => (b.db > a.db + TIE_DB ? b : a));
  const tied = twinsOf(best, told, net, c);
  for (const { pair } of tied) factor[pair] = 1 / tied.length;
}

/** @param lines of one group and one sign. */
function rank(factor: Float64Array, lines: readonly Line[], net: Network, c: Settings): void {
  let waiting = lines.toSorted((a, b) => {
    const gap = Math.abs(b.db) - Math.abs(a.db);
    if (Math.abs(gap) > TIE_DB) return gap;
    return childOf(net, a.pair).key < childOf(net, b.pair).key ? -1 : 1;
  });
  let place = 0;
  while (waiting.length > 0) {
    const twins = twinsOf(waiting[0] as Line, waiting, net, c);
    // twins that already share one line take one place in the ranks, two whole lines take two
    const places = Math.round(twins.reduce((sum, { pair }) => sum + (factor[pair] as number), 0));
    let counted = 0;
    for (let k = 0; k < places; k++) counted += c.groupDiscount ** (place + k);
    for (const { pair } of twins) factor[pair] = counted / twins.length;
    place += places;
    waiting = waiting.filter((line) => !twins.includes(line));
  }
}

/**
 * @param factor is set to the share of each pair that counts, 0 to 1.
 * @param ratio likelihood ratio of each pair. @param assessed 1 for each child with a report, even one that cancels out.
 */
export function selectFactors(
  factor: Float64Array,
  ratio: Float64Array,
  assessed: Uint8Array,
  { sides, groups }: Competing,
  net: Network,
  c: Settings,
): void {
  factor.fill(1);
  const line = (pair: number): Line => ({ pair, db: db(ratio[pair] as number) });
  for (const list of sides) {
    const told = list.filter((i) => ratio[i] !== 1 || assessed[(net.pairs[i] as Pair).child] === 1);
    if (told.length === 0) continue;
    for (const i of list) factor[i] = 0;
    chooseSide(factor, told.map(line), net, c);
  }
  for (const group of groups) {
    const lines = group.filter((i) => ratio[i] !== 1 && factor[i] !== 0).map(line);
    for (const sign of [1, -1]) {
      const same = lines.filter((l) => l.db * sign > 0);
      if (same.length > 1) rank(factor, same, net, c);
    }
  }
}
