import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { Slots } from '../../src/engine/facts.ts';
import { referenceRun } from '../../src/engine/reference.ts';
import type { Fired, Stage } from '../../src/engine/stage.ts';
import { loadRuleSet } from '../../src/knowledge/load.ts';
import { randomSlots, seeded } from './slot-vectors.ts';

const ruleSet = await loadRuleSet(fileURLToPath(new URL('../../rules/front-crawl/1.0.0', import.meta.url)));
const stages = Object.values(ruleSet.stages) as Stage<unknown>[];

/** From a record that says nothing, over sparse ones, to one that says everything. */
const VECTORS = 80;
const vectors: readonly Slots[] = Array.from({ length: VECTORS }, (_, i) =>
  randomSlots(ruleSet, seeded(1000 + i), i / (VECTORS - 1)),
);

const names = (fired: readonly Fired<unknown>[]): string[] =>
  fired.map(({ rule }) => `${rule.id}@${rule.side}`).sort();

describe("the library's own evaluation", () => {
  test.each(stages)(
    `fires the same rules as the compiled $name stage on ${VECTORS} random records`,
    async (stage) => {
      for (const [i, slots] of vectors.entries()) {
        const reference = await referenceRun(stage.rules, ruleSet.facts, ruleSet.words, slots);
        expect(names(stage.select(slots)), `vector ${i}`).toEqual(reference);
      }
    },
  );

  test.each(stages)('the stage $name runs on the engine as it is selected', async (stage) => {
    for (const slots of vectors) {
      expect(names(await stage.run(slots))).toEqual(names(stage.select(slots)));
    }
  });

  test.each(stages)(
    'nearly every rule of $name fires on one of the records and stays silent on another',
    (stage) => {
      const times = new Map(stage.rules.map((rule) => [rule, 0]));
      for (const slots of vectors) {
        for (const { rule } of stage.select(slots)) times.set(rule, (times.get(rule) ?? 0) + 1);
      }
      const decided = [...times.values()].filter((n) => n > 0 && n < VECTORS);
      expect(decided.length / stage.rules.length).toBeGreaterThanOrEqual(0.9);
    },
  );
});
