/** Hard filters come first: what is ruled out never appears, whatever its rank. */
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { FullAnswer } from '../../src/contract/answer.ts';
import { LEVELS } from '../../src/contract/common.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import type { DrillEntry } from '../../src/knowledge/parts.ts';
import { requests, swimmer } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

const RUNS = { numRuns: 40 };
const entry = (code: string): DrillEntry => ruleSet.drills.get(code) as DrillEntry;

/** Every drill that the answer names, chosen or in the session. */
function named(answer: FullAnswer): DrillEntry[] {
  const items = answer.session.blocks.flatMap((b) => b.items);
  const inSession = items.flatMap((i) => (i.drill === undefined ? [] : [i.drill]));
  return [...new Set([...answer.drills.map((d) => d.code), ...inSession])].map(entry);
}

const swimmers = (fixed: Partial<AssessmentRequest['swimmer']>): Arbitrary<AssessmentRequest['swimmer']> =>
  swimmer.map((s) => ({ ...s, ...fixed }));

/** Holds for every full answer to random records; it must have met enough drills to mean something. */
async function always(
  arbitrary: Arbitrary<AssessmentRequest>,
  check: (drills: DrillEntry[], answer: FullAnswer, request: AssessmentRequest) => void,
  numRuns = RUNS.numRuns,
): Promise<void> {
  let met = 0;
  await fc.assert(
    fc.asyncProperty(arbitrary, async (request) => {
      const answer = await assess(request, ruleSet);
      if (answer.status === 'stop') return;
      const drills = named(answer);
      met += drills.length;
      check(drills, answer, request);
    }),
    { numRuns },
  );
  expect(met).toBeGreaterThan(0);
}

describe('what is ruled out', () => {
  test('appears neither among the drills nor in the session', async () => {
    await always(requests(), (drills, answer) => {
      const out = new Set(answer.excludedDrills.map((d) => d.code));
      expect(drills.filter((d) => out.has(d.code))).toEqual([]);
    });
  });

  test('is not the next step of a drill that is given either', async () => {
    await always(requests(), (_, answer) => {
      const out = new Map(answer.excludedDrills.map((d) => [d.code, d]));
      for (const d of answer.drills) {
        for (const step of ['progression', 'regression'] as const) {
          const to = out.get(entry(d.code)[step] ?? '');
          if (to !== undefined) expect(d[step]).toBe(ruleSet.texts.phrases['step-ruled-out']);
          else expect(d[step]).toBe(ruleSet.texts.drills[d.code]?.[step]);
        }
      }
    });
  });

  test('is shown with its reason and rule, and every other drill is allowed', async () => {
    await always(requests(), (_, answer) => {
      for (const d of answer.excludedDrills) {
        expect(ruleSet.drills.has(d.code)).toBe(true);
        expect(d.text.length).toBeGreaterThan(0);
        expect(ruleSet.stages.exclusions.rules.some((r) => r.id === d.rule)).toBe(true);
      }
      expect(new Set(answer.excludedDrills.map((d) => d.code)).size).toBe(answer.excludedDrills.length);
    });
  });

  test('needs an aid when none is at hand', async () => {
    await always(requests({ swimmer: swimmers({ equipment: [] }) }), (drills) => {
      expect(drills.filter((d) => d.needsAnyOf.length > 0)).toEqual([]);
    });
  });

  test('needs an aid other than those at hand', async () => {
    await always(requests({ swimmer: swimmers({ equipment: ['fins'] }) }), (drills) => {
      expect(drills.filter((d) => d.needsAnyOf.length > 0 && !d.needsAnyOf.includes('fins'))).toEqual([]);
    });
  });

  test('does not fit the level', async () => {
    await always(requests(), (drills, _, request) => {
      expect(drills.filter((d) => !d.levels.includes(request.swimmer.level))).toEqual([]);
    });
  });

  test('is paddles or bands under 16, even when they are at hand', async () => {
    const all = [...ruleSet.parts.lists.equipment];
    const junior = fc
      .tuple(swimmer, fc.integer({ min: 6, max: 15 }))
      .map(([s, age]) => ({ ...s, age, equipment: all }));
    await always(requests({ swimmer: junior }), (drills) => {
      const tools = drills.filter((d) =>
        d.needsAnyOf.some((aid) => aid === 'paddles' || aid === 'elastic-band'),
      );
      expect(tools).toEqual([]);
    });
  });

  test('goes into deep water, unless the record says that the swimmer is competent there', async () => {
    const deep = (d: DrillEntry): boolean => d.tags.includes('deep-water');
    const kicks: AssessmentRequest = {
      ...withoutLooks(workedCases[1]?.request as AssessmentRequest),
      coach: { focus: [{ cause: 'weak-kick-support' }] },
      options: { drills: 10, nextLooks: 0, sessionMinutes: 90 },
    };
    for (const deepWaterCompetent of [undefined, false, true]) {
      const s = {
        level: 'intermediate' as const,
        ...(deepWaterCompetent === undefined ? {} : { deepWaterCompetent }),
      };
      const answer = await fullAnswer({ ...kicks, swimmer: s });
      const out = answer.excludedDrills.find((d) => d.code === 'vertical-kick');
      expect(out?.reason).toBe(deepWaterCompetent ? undefined : 'deep-water');
    }
    await always(requests(), (drills, _, { swimmer: s }) => {
      if (s.deepWaterCompetent !== true || s.level === 'novice') expect(drills.filter(deep)).toEqual([]);
    });
  });

  test('was refused by the coach', async () => {
    for (const { request } of workedCases) {
      const first = await fullAnswer(withoutLooks(request));
      const refused = first.drills.map((d) => ({ code: d.code, because: 'not this swimmer' }));
      const second = await fullAnswer({ ...withoutLooks(request), coach: { rejectDrills: refused } });
      const codes = named(second).map((d) => d.code);
      for (const { code } of refused) {
        expect(codes).not.toContain(code);
        expect(second.excludedDrills.map((d) => d.code)).toContain(code);
      }
    }
  });
});

describe('the choice', () => {
  test('takes at most one drill of a family', async () => {
    await always(requests(), (_, answer) => {
      const families = answer.drills.map((d) => entry(d.code).family);
      expect(new Set(families).size).toBe(families.length);
    });
  });

  test('takes no more drills than were asked for, and none when none was', async () => {
    await always(requests(), (_, answer, request) => {
      expect(answer.drills.length).toBeLessThanOrEqual(request.options?.drills ?? 4);
    });
    const [{ request }] = workedCases as [(typeof workedCases)[number]];
    for (const drills of [0, 1, 2, 3]) {
      const answer = await fullAnswer({ ...request, options: { drills, nextLooks: 0, sessionMinutes: 90 } });
      expect(answer.drills).toHaveLength(drills);
    }
  });

  test('gains something with every drill, for a cause that the drill is for', async () => {
    await always(requests(), (_, answer) => {
      for (const drill of answer.drills) {
        expect(drill.gain).toBeGreaterThan(0);
        const targets = new Set(entry(drill.code).targets.map((t) => t.cause));
        expect(drill.for.length).toBeGreaterThan(0);
        for (const { cause, share } of drill.for) {
          expect(targets).toContain(cause);
          expect(share).toBeGreaterThan(0);
        }
      }
    });
  });

  test('serves the focus with every drill', async () => {
    await always(requests(), (_, answer) => {
      const focus = new Set(answer.focus.map((f) => f.cause));
      for (const drill of answer.drills)
        expect(entry(drill.code).targets.some((t) => t.effect > 0 && focus.has(t.cause))).toBe(true);
    });
  });

  test('is empty without a focus', async () => {
    let without = 0;
    for (const request of fc.sample(requests(), { numRuns: 120, seed: 3 })) {
      const answer = await assess(request, ruleSet);
      if (answer.status === 'stop' || answer.focus.length > 0) continue;
      without++;
      expect(answer.drills).toEqual([]);
    }
    expect(without).toBeGreaterThan(5);
  });

  test('puts what a drill builds on before it', async () => {
    await always(requests(), (_, answer) => {
      const order = answer.drills.map((d) => d.code);
      order.forEach((code, i) => {
        for (const before of entry(code).prerequisites.filter((p) => order.includes(p)))
          expect(order.indexOf(before), `${before} before ${code}`).toBeLessThan(i);
      });
    });
  });

  test.each(LEVELS)('is no empty promise: a %s with a focus gets drills', async (level) => {
    const answer = await fullAnswer({
      swimmer: { level },
      health: { asked: true },
      coach: { focus: [{ cause: 'head-high-habit' }] },
      options: { nextLooks: 0 },
    });
    expect(answer.drills.length).toBeGreaterThan(0);
  });
});
