/** The next plan: that of the last record, without what was tried and did not help. */
import { describe, expect, test } from 'vitest';
import type { ComparisonRequest } from '../../src/contract/comparison.ts';
import type { FullPlanAnswer } from '../../src/contract/plan.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { compared, comparePair, pairOf, type Shot } from './films.ts';

type Between = NonNullable<ComparisonRequest['between']>;

const high: Shot = {
  seen: [{ code: 'head-held-high', severity: 3 }, { severity: 2 }, { code: 'knee-bend-kick', severity: 0 }],
  measured: [{ code: 'neck-extension', value: 36, standardDeviation: 1 }],
};
const time = { sessionsPerWeek: 3, weeks: 4 } as const;

async function next(between: Between): Promise<FullPlanAnswer> {
  const { nextPlan } = await comparePair(high, high, { between, ...time });
  if (nextPlan === undefined || nextPlan.status === 'stop') throw new Error('there is no plan');
  return nextPlan;
}
const named = ({ plan: p }: FullPlanAnswer): string[] => [
  ...p.focus.flatMap((f) => f.drills),
  ...p.weeks.flatMap((w) => w.dose.map((d) => d.drill)),
];

describe('the next plan', () => {
  test('leaves out drills that were practised in vain, and says so', async () => {
    const first = (await next([])).plan.focus[0];
    const [tried] = first?.drills ?? [];
    const answer = await next([
      { focus: { cause: first?.cause as string }, drills: [tried as string], sessions: 8 },
    ]);
    expect(named(await next([]))).toContain(tried);
    expect(named(answer)).not.toContain(tried);
    expect(answer.excludedDrills.find((d) => d.code === tried)).toMatchObject({
      reason: 'tried-without-change',
      text: ruleSet.texts.phrases['next-plan-drill-tried'],
    });
  });

  test('leaves out a cause that two honest tries have put in doubt, and says so in its own words', async () => {
    const cause = 'head-high-habit';
    expect((await next([])).plan.focus.map((f) => f.cause)).toContain(cause);
    const answer = await next([
      { focus: { cause }, sessions: 6 },
      { focus: { cause }, sessions: 6 },
    ]);
    expect(answer.plan.focus.map((f) => f.cause)).not.toContain(cause);
    const codes = answer.messages.map((m) => m.code);
    expect(codes).toContain('next-plan-cause-in-doubt');
    expect(codes).not.toContain('coach-rejected-cause');
  });

  test("keeps the coach's own refusals as the coach's", async () => {
    const request = pairOf(high, high, time);
    const [, after] = request.records;
    const because = 'no room in the lane';
    const coach = { rejectDrills: [{ code: 'head-height-contrast', because }] };
    const { nextPlan } = await compared({
      ...request,
      records: [request.records[0], { ...after, request: { ...after?.request, coach } }],
    });
    const excluded = nextPlan?.status === 'stop' ? [] : nextPlan?.excludedDrills;
    expect(excluded?.find((d) => d.code === 'head-height-contrast')?.reason).toBe('refused-by-coach');
  });
});
