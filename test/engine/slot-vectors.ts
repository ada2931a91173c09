/** Seeded random facts for a whole rule set, drawn so that its conditions are met about as often as not. */
import { CERTAINTIES } from '../../src/contract/common.ts';
import { leavesOf } from '../../src/engine/conditions.ts';
import type { FactValue, Slots } from '../../src/engine/facts.ts';
import type { FactSpec } from '../../src/knowledge/fact-catalogue.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';

/** Mulberry32 by Tommy Ettinger (public domain): 32 bits of state, enough to spread test cases. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** What the rules compare each fact with: the only values at which an answer can change. */
function comparedWith(ruleSet: RuleSet): ReadonlyMap<string, readonly unknown[]> {
  const values = new Map<string, unknown[]>();
  for (const stage of Object.values(ruleSet.stages)) {
    for (const rule of stage.rules) {
      for (const { fact, value } of leavesOf(rule.conditions)) {
        const list = values.get(fact);
        if (list === undefined) values.set(fact, [value]);
        else list.push(value);
      }
    }
  }
  return values;
}

interface Draw {
  readonly random: () => number;
  readonly compared: readonly unknown[];
  readonly spec: FactSpec;
  readonly ruleSet: RuleSet;
}

function pick<T>(random: () => number, list: readonly T[]): T {
  return list[Math.floor(random() * list.length)] as T;
}

/** At a threshold of the rules, just below or just above it. */
function numberNear({ random, compared }: Draw): number {
  const at = compared.filter((v) => typeof v === 'number');
  return (at.length === 0 ? 0 : pick(random, at)) + pick(random, [-0.01, 0, 0.01]);
}

function codesOf({ compared, spec }: Draw): string[] {
  const named = compared.flatMap((v) => (Array.isArray(v) ? (v as string[]) : []));
  return [...new Set([...(spec.values ?? []), ...named, 'something-else'])].sort();
}

function someOf(draw: Draw): string[] {
  return codesOf(draw).filter(() => draw.random() < 0.4);
}

function draw(d: Draw): FactValue {
  const { random } = d;
  switch (d.spec.kind) {
    case 'seen':
      return {
        severity: pick(random, [0, 0, 1, 2, 3] as const),
        certainty: pick(random, CERTAINTIES),
        ...(random() < 0.1 ? { disputed: true as const } : {}),
      };
    case 'measured':
      return { value: numberNear(d), certainty: pick(random, CERTAINTIES) };
    case 'pain':
      return { score: pick(random, [0, 1, 2, 3, 4, 5, 8]), features: someOf(d) };
    case 'flag':
      return random() < 0.5;
    case 'number':
      return numberNear(d);
    case 'text':
      return pick(random, codesOf(d));
    case 'list':
      return someOf(d);
    case 'probability': {
      const bounds = [...d.ruleSet.words.values()];
      return Math.min(1, Math.max(0, pick(random, bounds) + pick(random, [-0.001, 0, 0.001, 0.05])));
    }
  }
}

/** @param known share of the facts that somebody looked at. */
export function randomSlots(ruleSet: RuleSet, random: () => number, known: number): Slots {
  const compared = comparedWith(ruleSet);
  return ruleSet.facts.facts.map((fact): FactValue => {
    if (random() >= known) return undefined;
    const spec = ruleSet.catalogue.get(fact.split('@')[0] as string);
    if (spec === undefined) throw new Error(`"${fact}" is not in the fact catalogue`);
    return draw({ random, compared: compared.get(fact) ?? [], spec, ruleSet });
  });
}
