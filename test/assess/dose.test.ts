/** Doses: the numbers say what the words say, and what a session asks for fits into its minutes. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import { repeatsIn, secondsPerRepeat } from '../../src/assess/dose.ts';
import { toRecord } from '../../src/assess/record.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import type { DrillEntry } from '../../src/knowledge/parts.ts';
import { requests } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

const { drills } = ruleSet.parts;
const record = (request: Partial<AssessmentRequest> = {}) =>
  toRecord({ swimmer: { level: 'intermediate' }, ...request }, ruleSet);
const entry = (code: string): DrillEntry => ruleSet.drills.get(code) as DrillEntry;

/** "6-8 x 25 m, 20 s rest" is 6 to 8. */
function numbersIn(words: string): { least: number; most: number } {
  const [, least, most] = /^(\d+)(?:-(\d+))?/.exec(words) as RegExpExecArray;
  return { least: Number(least), most: Number(most ?? least) };
}

describe('a dose in numbers', () => {
  test.each(drills.map((d) => [d.code, d] as const))('%s: is that in words', (code, d) => {
    const { dose, perWeek } = ruleSet.texts.drills[code] as (typeof ruleSet.texts.drills)[string];
    expect(d.amount.pool25.repeats).toEqual(numbersIn(dose.metres25));
    expect(d.amount.pool25.repeats).toEqual(numbersIn(dose.yards25));
    expect((d.amount.pool50 ?? d.amount.pool25).repeats).toEqual(numbersIn(dose.metres50));
    const times = /^(\d+)(?:-(\d+))? times/.exec(perWeek);
    const { least, most } = d.perWeek;
    if (times === null) expect(perWeek).toMatch(most === 1 ? /^(Once|Whenever)/ : /every session/i);
    else expect([least, most]).toEqual([Number(times[1]), Number(times[2] ?? times[1])]);
  });

  test('a limit of weeks stands in the words as well', () => {
    const limited = drills.filter((d) => d.weeksAtMost !== undefined);
    expect(limited.length).toBeGreaterThan(0);
    for (const d of limited) {
      const { dose, perWeek } = ruleSet.texts.drills[d.code] as (typeof ruleSet.texts.drills)[string];
      expect(`${dose.metres25} ${perWeek}`).toMatch(/for (no more than )?(2|two|2-3) weeks/);
    }
  });
});

describe('repeats that fit', () => {
  // 25 m easy 30 s, the drill 1.3 times that, 20 s rest after each: 39 + 20 + 30 + 20
  test('by hand: eight kicks on the side and changes at the intermediate level', () => {
    expect(secondsPerRepeat(entry('early-turn-breath'), false, record(), ruleSet)).toBeCloseTo(109, 9);
    expect(repeatsIn(10, entry('early-turn-breath'), 'most', false, record(), ruleSet)).toBe(5);
  });

  test('follow an easy pace of the record, and never a race pace', () => {
    const seconds = (pace: 'easy' | 'race') =>
      secondsPerRepeat(
        entry('early-turn-breath'),
        false,
        record({ recording: { pace, paceSecondsPer100: 80 } }),
        ruleSet,
      );
    expect(seconds('easy')).toBeCloseTo(1.3 * 20 + 20 + 20 + 20, 9);
    expect(seconds('race')).toBeCloseTo(109, 9);
  });

  test('are never more than the dose, never fewer than one, and need no more time than there is', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...drills),
        fc.integer({ min: 1, max: 60 }),
        fc.constantFrom('most' as const, 'least' as const),
        fc.constantFrom({ length: 25, unit: 'm' as const }, { length: 50, unit: 'm' as const }),
        (drill, minutes, portion, pool) => {
          const r = record({ recording: { pool } });
          const repeats = repeatsIn(minutes, drill, portion, false, r, ruleSet) as number;
          const { pool25, pool50 = pool25 } = drill.amount;
          expect(repeats).toBeLessThanOrEqual((pool.length === 50 ? pool50 : pool25).repeats[portion]);
          expect(repeats).toBeGreaterThanOrEqual(1);
          if (repeats > 1)
            expect(repeats * secondsPerRepeat(drill, false, r, ruleSet)).toBeLessThanOrEqual(minutes * 60);
        },
      ),
    );
  });

  test('are told where the session is too short for the usual dose', async () => {
    const { request } = workedCases[1] as (typeof workedCases)[number];
    const items = async (sessionMinutes: number) => {
      const { session } = await fullAnswer(
        withoutLooks({ ...request, options: { sessionMinutes, drills: 2 } }),
      );
      return session.blocks.flatMap((b) => b.items).filter((i) => i.drill !== undefined);
    };
    const short = await items(15);
    expect(short.map((i) => i.text).join()).toMatch(/There is time for \d/);
    const long = await items(90);
    expect(long.map((i) => i.text).join()).not.toMatch(/There is time for \d/);
    expect(long.length).toBeGreaterThan(0);
  });
});

test('in the technique block the minutes of the drills add up to the block', async () => {
  let met = 0;
  await fc.assert(
    fc.asyncProperty(requests(), async (request) => {
      const answer = await assess(request, ruleSet);
      if (answer.status === 'stop') return;
      for (const { slot, minutes, items } of answer.session.blocks) {
        const timed = items.flatMap((i) => (i.minutes === undefined ? [] : [i.minutes]));
        const sum = timed.reduce((a, b) => a + b, 0);
        expect(sum).toBeLessThanOrEqual(Math.max(minutes, timed.length));
        if (slot === 'technique' && timed.length > 0) expect(sum).toBe(minutes);
        met += timed.length;
      }
    }),
    { numRuns: 60 },
  );
  expect(met).toBeGreaterThan(10);
});
