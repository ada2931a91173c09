/** What becomes of a focus that was practised: close, keep or exchange, and whether the drill or the cause is doubted. */
import { describe, expect, test } from 'vitest';
import { ComparisonRequest } from '../../src/contract/comparison.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { plan } from '../../src/plan/plan.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { compared, comparePair, pairOf, type Shot } from './films.ts';

type Between = NonNullable<ComparisonRequest['between']>;

/** A head that rides high and bends the neck, with low hips behind it. */
const head = (severity: 0 | 1 | 2 | 3, neck: number, hips: 0 | 1 | 2 | 3): Shot => ({
  seen: [{ code: 'head-held-high', severity }, { severity: hips }, { code: 'knee-bend-kick', severity: 0 }],
  measured: [{ code: 'neck-extension', value: neck, standardDeviation: 1 }],
});
const practised = (...sessions: number[]): Between =>
  sessions.map((n) => ({ focus: { cause: 'head-high-habit' }, sessions: n }));
const advise = async (before: Shot, after: Shot, between: Between) =>
  (await comparePair(before, after, { between })).focus;

describe('a focus', () => {
  test.each([
    ['whose signs are clearly gone is closed', head(0, 5, 0), practised(8), 'close', 'nothing', 'gone'],
    ['that moves is kept', head(2, 36, 2), practised(8), 'keep', 'nothing', 'moving'],
    ['with too few sessions is kept', head(3, 36, 2), practised(2), 'keep', 'nothing', 'too-few-sessions'],
    [
      'without change after one try gets another drill',
      head(3, 36, 2),
      practised(6),
      'keep',
      'drill',
      'one-try',
    ],
    ['tried twice in vain is exchanged', head(3, 36, 2), practised(6, 6), 'exchange', 'cause', 'two-tries'],
    ['in two short tries had one honest one', head(3, 36, 2), practised(3, 3), 'keep', 'drill', 'one-try'],
  ] as const)('%s', async (_, after, between, advice, change, why) => {
    const given = await advise(head(3, 36, 2), after, between as Between);
    expect(given).toMatchObject([{ cause: 'head-high-habit', advice, change, because: { code: why } }]);
    expect(given[0]?.sessions).toBe(between.reduce((sum, b) => sum + b.sessions, 0));
  });

  test('that got worse gets another drill', async () => {
    const given = await advise(head(1, 14, 1), head(3, 36, 2), practised(8));
    expect(given).toMatchObject([{ advice: 'keep', change: 'drill', because: { code: 'worse' } }]);
  });

  test('that was not filmed again is not judged', async () => {
    const given = await advise(
      head(3, 36, 2),
      { seen: [{ code: 'knee-bend-kick', severity: 1 }] },
      practised(8),
    );
    expect(given).toMatchObject([{ advice: 'keep', because: { code: 'not-looked-at' } }]);
  });

  test('at another pace is not judged', async () => {
    const after = { ...head(0, 5, 0), recording: { paceSecondsPer100: 90 } };
    const given = await advise(head(3, 36, 2), after, practised(8));
    expect(given).toMatchObject([{ advice: 'keep', because: { code: 'not-comparable' } }]);
  });
});

test('another drill is one that was not practised yet', async () => {
  const before = head(3, 36, 2);
  const [all] = await advise(before, before, practised(8));
  const codes = all?.drills.map((d) => d.code) ?? [];
  expect(codes.length).toBeGreaterThan(0);
  const [fewer] = await advise(before, before, [
    { focus: { cause: 'head-high-habit' }, drills: codes.slice(0, 1), sessions: 8 },
  ]);
  expect(fewer?.drills.map((d) => d.code)).toEqual(codes.slice(1));
});

test('a doubted cause comes with looks that tell it from its neighbours', async () => {
  const [advice] = await advise(head(3, 36, 2), head(3, 36, 2), practised(6, 8));
  expect(advice?.looks.length).toBeGreaterThan(0);
});

test('the two arms are two efforts, in any order', async () => {
  const shot: Shot = { seen: [{ code: 'dropped-elbow-catch', side: 'both', severity: 2 }] };
  const between: Between = (['right', 'left'] as const).map((side) => ({
    focus: { cause: 'no-forearm-set', side },
    sessions: 6,
  }));
  const there = await advise(shot, shot, between);
  expect(there.map((f) => [f.side, f.tries, f.change])).toEqual([
    ['left', 1, 'drill'],
    ['right', 1, 'drill'],
  ]);
  expect(await advise(shot, shot, between.toReversed())).toEqual(there);
});

describe('the next film', () => {
  const next = async (at: string, weeks?: number) =>
    (await comparePair(head(1, 14, 1), { ...head(1, 14, 1), at }, weeks === undefined ? {} : { weeks }))
      .nextFilm;

  test('is three weeks away unless said otherwise', async () => {
    expect(await next('2026-02-16T10:00:00Z')).toBe('2026-03-09');
    expect(await next('2026-02-16T10:00:00Z', 6)).toBe('2026-03-30');
  });

  test('is counted from the day of the film as its own clock calls it', async () => {
    expect(await next('2026-02-16T23:30:00-08:00')).toBe('2026-03-09');
  });
});

describe('the next plan', () => {
  const film = head(3, 36, 2);

  test('is the one that the last record would get by itself', async () => {
    const request = pairOf(head(1, 14, 1), film, { sessionsPerWeek: 3, weeks: 6 });
    const answer = await compared(request);
    const alone = {
      ...(request.records[1]?.request as AssessmentRequest),
      sessionsPerWeek: 3,
      weeks: 6 as const,
    };
    expect(answer.nextPlan).toEqual(await plan(alone, ruleSet));
    expect(answer.nextFilm).toBe('2026-03-30');
  });

  test('is made only when it is asked for', async () => {
    expect(await comparePair(film, film, { weeks: 6 })).not.toHaveProperty('nextPlan');
  });

  test.each([undefined, 3, 5])('takes 4, 6 or 8 weeks, not %s', (weeks) => {
    const asked = ComparisonRequest.safeParse(pairOf(film, film, { sessionsPerWeek: 3, weeks }));
    expect(asked.error?.issues.map((i) => [i.path, i.message])).toEqual([
      [['weeks'], 'a plan takes 4, 6, 8 weeks'],
    ]);
  });
});
