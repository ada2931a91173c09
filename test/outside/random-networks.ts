/** Seeded random networks in the words that rule authors use, with reports that mostly come from a true state. */
import type { SmallLink, SmallNetwork } from './small-network.ts';
import { qOf } from './small-network.ts';

/** Mulberry32 (Tommy Ettinger, public domain): the same numbers on every machine. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

export interface Shape {
  readonly causes: number;
  readonly mechanisms: number;
  readonly findings: number;
  /** Links of each parent; in a tree, links that would close a loop are left out. */
  readonly links: number;
  readonly tree: boolean;
}

const PRIORS = [0.02, 0.05, 0.1, 0.2, 0.3, 0.4];
const BACKGROUNDS = [0.01, 0.02, 0.05, 0.1, 0.2, 0.3];
const SHOWS = [0.15, 0.3, 0.6, 0.8, 0.95];
const REPORTS = [5, 7.5, 10, 15, 20];
const NOT_LOOKED_AT = 0.3;
/** Share of networks whose reports have nothing to do with their causes. */
const INCOHERENT = 0.3;

/** Joins names into sets; says whether two were apart. */
function joiner(): (a: string, b: string) => boolean {
  const parent = new Map<string, string>();
  const root = (x: string): string => {
    const up = parent.get(x);
    return up === undefined ? x : root(up);
  };
  return (a, b) => {
    const [x, y] = [root(a), root(b)];
    if (x !== y) parent.set(x, y);
    return x !== y;
  };
}

function sampledReports(small: SmallNetwork, random: () => number): SmallNetwork['reports'] {
  const coherent = random() >= INCOHERENT;
  const there = new Set<string>();
  const chance = (child: string, leak: number): number =>
    1 -
    small.links
      .filter((l) => l.finding === child && there.has(l.cause))
      .reduce((none, l) => none * (1 - qOf(small, l)), 1 - leak);
  for (const [name, prior] of Object.entries(small.causes)) if (random() < prior) there.add(name);
  for (const [name, leak] of Object.entries(small.mechanisms ?? {}))
    if (random() < chance(name, leak)) there.add(name);
  const reports: { [finding: string]: number } = {};
  for (const [name, leak] of Object.entries(small.findings)) {
    if (random() < NOT_LOOKED_AT) continue;
    const size = REPORTS[Math.floor(random() * REPORTS.length)] as number;
    const truth = coherent ? random() < chance(name, leak) : random() < 0.5;
    const right = random() < 1 / (1 + 10 ** (-size / 10));
    reports[name] = truth === right ? size : -size;
  }
  return reports;
}

export function randomNetwork(seed: number, shape: Shape): SmallNetwork {
  const random = randomFrom(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const named = (letter: string, count: number, values: readonly number[]): { [name: string]: number } =>
    Object.fromEntries(Array.from({ length: count }, (_, i) => [`${letter}${i}`, pick(values)]));
  const causes = named('c', shape.causes, PRIORS);
  const mechanisms = named('m', shape.mechanisms, BACKGROUNDS);
  const findings = named('f', shape.findings, BACKGROUNDS);
  const leaks = { ...mechanisms, ...findings };
  const join = joiner();
  const links: SmallLink[] = [];
  const tryLink = (cause: string, finding: string): void => {
    if (links.some((l) => l.cause === cause && l.finding === finding)) return;
    const shows = SHOWS.filter((s) => s >= (leaks[finding] as number) + 0.05);
    if (shape.tree && !join(cause, finding)) return;
    links.push({ cause, finding, shows: pick(shows) });
  };
  for (const cause of Object.keys(causes)) {
    for (let i = 0; i < shape.links; i++) tryLink(cause, pick(Object.keys(leaks)));
  }
  for (const mechanism of Object.keys(mechanisms)) {
    for (let i = 0; i < shape.links; i++) tryLink(mechanism, pick(Object.keys(findings)));
  }
  const silent: SmallNetwork = { causes, mechanisms, findings, links, reports: {} };
  return { ...silent, reports: sampledReports(silent, random) };
}
