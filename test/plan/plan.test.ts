/** Plans of every case of the rule set, and of what differs from them: what holds for any plan. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { FullPlanAnswer, PlanAnswer, PlanRequest } from '../../src/contract/plan.ts';
import { PLAN_WEEKS } from '../../src/contract/plan-words.ts';

import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { plan } from '../../src/plan/plan.ts';
import { casesOf } from '../rules/run.ts';

const [ruleSet] = (await loadAll(new URL('../../rules', import.meta.url).pathname)) as [RuleSet];
const cases = [...(await casesOf(ruleSet)).values()].flat();
const time = fc.record({
  which: fc.nat({ max: cases.length - 1 }),
  weeks: fc.constantFrom(...PLAN_WEEKS),
  sessionsPerWeek: fc.integer({ min: 1, max: 14 }),
  sessionMinutes: fc.integer({ min: 15, max: 180 }),
});
type Time = typeof time extends fc.Arbitrary<infer T> ? T : never;

const requestOf = ({ which, weeks, sessionsPerWeek, sessionMinutes }: Time): PlanRequest => {
  const { request } = cases[which] as (typeof cases)[number];
  return {
    ...request,
    options: { ...request.options, nextLooks: 0, sessionMinutes },
    weeks,
    sessionsPerWeek,
  };
};
const full = (answer: PlanAnswer): FullPlanAnswer | null => (answer.status === 'stop' ? null : answer);
const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);

/** Asks what must hold for the plan of any case in any time. */
function always(
  name: string,
  promise: (answer: FullPlanAnswer, request: PlanRequest) => void,
  runs = 150,
): void {
  test(name, async () => {
    await fc.assert(
      fc.asyncProperty(time, async (t) => {
        const request = requestOf(t);
        const answer = full(await plan(request, ruleSet));
        if (answer !== null) promise(answer, request);
      }),
      { numRuns: runs },
    );
  });
}

describe('any plan', () => {
  always(
    'has the weeks and the sessions that were asked for, each of the minutes that were asked for',
    ({ plan: p }, r) => {
      expect(p.weeks.map((w) => w.week)).toEqual(Array.from({ length: r.weeks }, (_, i) => i + 1));
      for (const week of p.weeks) {
        const numbers = week.sessions.flatMap((s) => s.numbers).sort((a, b) => a - b);
        expect(numbers).toEqual(Array.from({ length: r.sessionsPerWeek }, (_, i) => i + 1));
        for (const { session } of week.sessions)
          expect(sum(session.blocks.map((b) => b.minutes))).toBe(r.options?.sessionMinutes);
      }
    },
  );

  always('adds up: minutes of slots, of weeks, of the whole; parts of a dose', ({ plan: p }, r) => {
    for (const week of p.weeks) {
      expect(week.minutes.total).toBe(r.sessionsPerWeek * (r.options?.sessionMinutes as number));
      expect(sum(week.minutes.slots.map((s) => s.minutes))).toBe(week.minutes.total);
      for (const dose of week.dose) {
        if (dose.repeats !== null)
          expect(sum(dose.parts.map((d) => d.sessions * (d.repeats as number)))).toBe(dose.repeats);
        if (dose.minutes !== null)
          expect(sum(dose.parts.map((d) => d.sessions * (d.minutes as number)))).toBe(dose.minutes);
      }
    }
    expect(p.totals.minutes).toBe(sum(p.weeks.map((w) => w.minutes.total)));
    expect(p.totals.sessions).toBe(r.weeks * r.sessionsPerWeek);
    expect(p.totals.drillMinutes).toBe(sum(p.weeks.map((w) => w.minutes.drills)));
  });

  always('names no drill that is ruled out, and describes every drill that it names', (answer) => {
    const excluded = new Set(answer.excludedDrills.map((d) => d.code));
    const told = answer.drills.map((d) => d.code);
    expect(told.filter((code) => excluded.has(code))).toEqual([]);
    const { plan: p } = answer;
    const named = [
      ...p.focus.flatMap((f) => [
        ...f.drills,
        ...f.steps.flatMap((s) => [s.from, s.to]),
        ...(f.reserve === null ? [] : [f.reserve]),
      ]),
      ...p.weeks.flatMap((w) => w.onLand.map((d) => d.drill)),
      ...p.checkpoints.flatMap((c) => c.focus.flatMap((f) => (f.drill === null ? [] : [f.drill.code]))),
    ];
    expect([...new Set(named)].filter((code) => !told.includes(code))).toEqual([]);
    // a session may also hold a drill that every swimmer of the level does
    const swum = p.weeks.flatMap((w) => [
      ...w.dose.map((d) => d.drill),
      ...w.sessions.flatMap((s) => s.session.blocks.flatMap((b) => b.items.flatMap((i) => i.drill ?? []))),
    ]);
    expect(swum.filter((code) => excluded.has(code))).toEqual([]);
  });

  always(
    'works on two causes at most, films at the end, and looks again in order of time',
    ({ plan: p }, r) => {
      expect(p.focus.length).toBeLessThanOrEqual(2);
      const weeks = p.checkpoints.map((c) => c.week);
      expect(weeks).toEqual([...weeks].sort((a, b) => a - b));
      expect(new Set(weeks).size).toBe(weeks.length);
      expect(weeks.at(-1)).toBeLessThanOrEqual(r.weeks);
      for (const c of p.checkpoints.filter((k) => k.week > 0)) expect(c.decisions.length).toBeGreaterThan(0);
    },
  );

  always(
    'begins from the assessment of the same record',
    (answer) => {
      expect(answer.assessmentId).not.toBe(answer.decisionId);
    },
    10,
  );
});

test('every case of the rule set has a plan, with the status and the focus of its assessment; a stop has none', async () => {
  for (const [i, { request, id }] of cases.entries()) {
    if (i % 4 !== 0) continue;
    const quick = { ...request, options: { ...request.options, nextLooks: 0 } };
    const [assessed, planned] = [
      await assess(quick, ruleSet),
      await plan({ ...quick, weeks: 6, sessionsPerWeek: 3 }, ruleSet),
    ];
    expect(planned.status, id).toBe(assessed.status);
    expect(planned.assessmentId, id).toBe(assessed.decisionId);
    expect(planned.cautions.length, id).toBeGreaterThanOrEqual(assessed.status === 'stop' ? 1 : 0);
    expect('plan' in planned, id).toBe(assessed.status !== 'stop');
    if (assessed.status !== 'stop' && planned.status !== 'stop')
      expect(
        planned.plan.focus.map((f) => [f.cause, f.side]),
        id,
      ).toEqual(assessed.focus.map((f) => [f.cause, f.side]));
  }
});

test('the order of the record changes nothing', async () => {
  await fc.assert(
    fc.asyncProperty(time, async (t) => {
      const request = requestOf(t);
      const turned = {
        ...request,
        ...(request.observations && { observations: [...request.observations].reverse() }),
        ...(request.measurements && { measurements: [...request.measurements].reverse() }),
      };
      expect(JSON.stringify(await plan(turned, ruleSet))).toBe(JSON.stringify(await plan(request, ruleSet)));
    }),
    { numRuns: 30 },
  );
});
