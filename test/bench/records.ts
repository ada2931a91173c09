/**
 * Invented records as a coach might write them: a swimmer with one to three causes, of whom a number of things was
 * looked at. What is there follows the rule set's own frequencies; the draw is seeded, so every run sees the same.
 */

import { CERTAINTIES, GOALS, LEVELS, type Side } from '../../src/contract/common.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { seeded } from '../engine/slot-vectors.ts';

type Random = () => number;
type Sighting = NonNullable<AssessmentRequest['observations']>[number];
type Reading = NonNullable<AssessmentRequest['measurements']>[number];

const pick = <T>(random: Random, list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
const sideOf = (sided: boolean, random: Random): Side => (sided ? pick(random, ['left', 'right']) : 'body');
const keyOf = (code: string, side: Side): string => `${code}@${side}`;

function shuffled<T>(list: readonly T[], random: Random): T[] {
  return list
    .map((item) => ({ item, at: random() }))
    .sort((a, b) => a.at - b.at)
    .map(({ item }) => item);
}

/** Chance of each finding with these causes: one minus the chance that none of them brings it about. */
function picture(ruleSet: RuleSet, random: Random): Map<string, number> {
  const { shows } = ruleSet.parts.constants.words;
  const roots = ruleSet.parts.causes.filter((c) => c.role === 'root');
  const chances = new Map<string, number>();
  for (const cause of shuffled(roots, random).slice(0, 1 + Math.floor(random() * 3))) {
    const side = sideOf(cause.sided, random);
    for (const { event } of ruleSet.parts.links) {
      const link = event.params;
      if (link.cause !== cause.code) continue;
      const on = ruleSet.findings.get(link.finding)?.sided
        ? side === 'body'
          ? sideOf(true, random)
          : side
        : 'body';
      const key = keyOf(link.finding, on);
      chances.set(key, 1 - (1 - (chances.get(key) ?? 0)) * (1 - (shows[link.shows] as number)));
    }
  }
  return chances;
}

function sightings(ruleSet: RuleSet, random: Random, looks: number): Sighting[] {
  const chances = picture(ruleSet, random);
  const all = ruleSet.parts.observations.flatMap((o) =>
    (o.sided ? (['left', 'right'] as const) : (['body'] as const)).map((side) => ({
      o,
      side,
      key: keyOf(o.code, side),
    })),
  );
  // what belongs to the swimmer's causes comes to a coach's eye first
  const telling = shuffled(
    all.filter(({ key }) => chances.has(key)),
    random,
  ).slice(0, Math.ceil(looks / 2));
  const rest = shuffled(
    all.filter((x) => !telling.includes(x)),
    random,
  ).slice(0, looks - telling.length);
  return [...telling, ...rest].map(
    ({ o, side, key }): Sighting => ({
      code: o.code,
      side,
      severity: random() < (chances.get(key) ?? 0.15) ? 1 + Math.floor(random() * 3) : 0,
      certainty: pick(random, CERTAINTIES),
      view: pick(random, o.views),
    }),
  );
}

function readings(ruleSet: RuleSet, random: Random, number: number): Reading[] {
  const numbers = ruleSet.parts.measurements.filter((m) => m.code !== 'pain');
  return shuffled(numbers, random)
    .slice(0, number)
    .map((m): Reading => {
      const { min, max } = m.possible;
      const value = Math.ceil((min + (max - min) * random()) * 100) / 100;
      return {
        code: m.code,
        side: sideOf(m.sided, random),
        value: Math.min(max, value),
        certainty: pick(random, CERTAINTIES),
      };
    });
}

/**
 * @param looks number of observations of each record; a quarter as many measurements come on top.
 * @returns valid requests without next looks.
 */
export function inventedRequests(
  ruleSet: RuleSet,
  number: number,
  looks: number,
  seed = 7,
): AssessmentRequest[] {
  const random = seeded(seed);
  return Array.from({ length: number }, () => ({
    swimmer: { level: pick(random, LEVELS), age: 18 + Math.floor(random() * 50), goal: pick(random, GOALS) },
    health: { asked: true },
    recording: {
      views: ['side-under', 'front-under', 'side-above'],
      cycles: 4,
      pool: { length: 25, unit: 'm' },
    },
    observations: sightings(ruleSet, random, looks),
    measurements: readings(ruleSet, random, Math.ceil(looks / 4)),
    options: { nextLooks: 0 },
  }));
}
