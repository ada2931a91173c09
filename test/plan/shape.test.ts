/** What a plan looks like for swimmers who differ: by hand where a number comes out. */
import { describe, expect, test } from 'vitest';
import type { FullPlanAnswer, PlanRequest } from '../../src/contract/plan.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { mostMetres } from '../../src/plan/load.ts';
import { plan } from '../../src/plan/plan.ts';
import { spread } from '../../src/plan/schedule.ts';
import { fullAnswer, ruleSet } from '../assess/front-crawl.ts';
import { mirror } from '../assess/mirror.ts';
import { BREATH_HOLDING } from '../knowledge/wording.ts';

const film: AssessmentRequest['recording'] = {
  views: ['side-under', 'side-above', 'front-under'],
  cycles: 5,
  pace: 'easy',
  pool: { length: 25, unit: 'm' },
};
const high: AssessmentRequest = {
  swimmer: { level: 'intermediate', age: 35 },
  health: { asked: true },
  recording: film,
  observations: [
    { code: 'head-held-high', severity: 3, certainty: 'sure', view: 'side-under' },
    { code: 'hips-low', severity: 2, certainty: 'sure', view: 'side-under' },
    { code: 'knee-bend-kick', severity: 0, certainty: 'sure', view: 'side-under' },
  ],
  measurements: [{ code: 'hip-depth', value: 12, view: 'side-under' }],
  options: { nextLooks: 0 },
};
const oneArm: AssessmentRequest = {
  ...high,
  observations: [
    { code: 'entry-crosses-midline', side: 'right', severity: 2, certainty: 'sure', view: 'front-under' },
    { code: 'thumb-first-entry', side: 'right', severity: 2, certainty: 'sure', view: 'front-under' },
    { code: 'roll-too-small', severity: 0, certainty: 'sure', view: 'front-under' },
  ],
};

interface More {
  readonly swimmer?: Partial<AssessmentRequest['swimmer']>;
  readonly health?: Partial<NonNullable<AssessmentRequest['health']>>;
  readonly time?: Partial<Pick<PlanRequest, 'weeks' | 'sessionsPerWeek'>>;
}

/** @throws Error when a health sign stops the record. */
async function planned(request: AssessmentRequest, { swimmer, health, time }: More = {}) {
  const answer = await plan(
    {
      ...request,
      swimmer: { ...request.swimmer, ...swimmer },
      health: { asked: true, ...request.health, ...health },
      weeks: 6,
      sessionsPerWeek: 3,
      ...time,
    },
    ruleSet,
  );
  if (answer.status === 'stop') throw new Error('stopped by the health gate');
  return answer;
}

const stages = ({ plan: p }: FullPlanAnswer): string[] => p.weeks.map((w) => w.stage);
const slots = ({ plan: p }: FullPlanAnswer): string[] =>
  p.weeks.flatMap((w) => w.sessions.flatMap((s) => s.session.blocks.map((b) => b.slot)));
const drillSessions = (week: FullPlanAnswer['plan']['weeks'][number]): number =>
  week.sessions.filter((s) => s.session.blocks.some((b) => b.items.some((i) => i.drill))).length;

describe('the weeks', () => {
  test('go from understanding to an easy week with a film', async () => {
    const six = await planned(high);
    expect(stages(six)).toEqual(['acquire', 'acquire', 'consolidate', 'acquire', 'consolidate', 'compare']);
    expect(six.plan.weeks.map((w) => w.focus.map((f) => f.role))).toEqual([
      ['drill', 'none'],
      ['drill', 'none'],
      ['drill', 'none'],
      ['cue', 'drill'],
      ['cue', 'drill'],
      ['cue', 'cue'],
    ]);
    expect(six.plan.checkpoints.map((c) => [c.week, c.film])).toEqual([
      [0, 'none'],
      [3, 'half'],
      [6, 'full'],
    ]);
  });

  test('with one focus go on to use it at pace', async () => {
    const only: AssessmentRequest = { ...high, coach: { focus: [{ cause: 'head-high-habit' }] } };
    expect(stages(await planned(only))).toEqual([
      'acquire',
      'acquire',
      'consolidate',
      'consolidate',
      'apply',
      'compare',
    ]);
  });

  test('near a race hold no drills', async () => {
    const race = await planned(high, { swimmer: { weeksToRace: 3.5 } });
    // the race falls into week 4, so week 3 and week 4 bring nothing new
    expect(stages(race).slice(2, 4)).toEqual(['race', 'race']);
    expect(race.plan.weeks.map(drillSessions).map((n) => n > 0)).toEqual([
      true,
      true,
      false,
      false,
      true,
      false,
    ]);
  });

  test('of a sore swimmer never reach pace, and build no speed', async () => {
    const sore = await planned(high, { health: { pain: [{ site: 'shoulder', side: 'left', score: 2 }] } });
    expect(stages(sore)).not.toContain('apply');
    expect(slots(sore)).not.toContain('build');
    expect(slots(await planned(high))).toContain('build');
  });

  test('that wait for a clinician stay where they are', async () => {
    const hold = await planned(high, { health: { pain: [{ site: 'shoulder', side: 'left', score: 6 }] } });
    expect(hold.status).toBe('refer');
    expect(new Set(stages(hold))).toEqual(new Set(['hold']));
    for (const week of hold.plan.weeks) expect(week.load.most).toBeNull();
    expect(hold.plan.checkpoints.flatMap((c) => c.decisions).map((d) => d.code)).toContain(
      'clinician-agrees',
    );
  });

  test('of a record without a conclusion only wait for the looks', async () => {
    const deck = await planned({
      ...high,
      recording: { views: ['side-above'], cycles: 4, pace: 'easy' },
      observations: [{ code: 'recovery-elbow-low', side: 'both', severity: 2, view: 'side-above' }],
      measurements: [],
      options: { nextLooks: 2 },
    });
    expect(deck.status).toBe('ask-more');
    expect(deck.plan.kind).toBe('wait');
    expect(deck.plan.checkpoints.map((c) => c.week)).toEqual([0, 1]);
    expect(deck.plan.checkpoints[1]?.looks).toHaveLength(2);
    expect(deck.plan.weeks.map(drillSessions)).toEqual([0, 0, 0, 0, 0, 0]);
  });

  test('of a minor film only with the consent on file', async () => {
    const told = async (health: More['health']) =>
      JSON.stringify((await planned(high, { swimmer: { age: 15 }, health: health ?? {} })).plan.weeks);
    expect(await told({})).toContain(ruleSet.texts.phrases['plan-film-consent']);
    expect(await told({ minorConsentOnFile: true })).not.toContain(
      ruleSet.texts.phrases['plan-film-consent'],
    );
  });
});

describe('the drills', () => {
  test('come no more often in a week, and no more weeks, than is good', async () => {
    for (const sessionsPerWeek of [1, 3, 5, 14]) {
      const { plan: p } = await planned(oneArm, { time: { weeks: 8, sessionsPerWeek } });
      const weeks = new Map<string, number>();
      for (const { drill, parts } of p.weeks.flatMap((w) => w.dose)) {
        const entry = ruleSet.drills.get(drill);
        const times = parts.reduce((sum, part) => sum + part.sessions, 0);
        expect(times).toBeLessThanOrEqual(entry?.perWeek.most ?? 0);
        weeks.set(drill, (weeks.get(drill) ?? 0) + 1);
        expect(weeks.get(drill)).toBeLessThanOrEqual(entry?.weeksAtMost ?? 8);
      }
      expect(weeks.size).toBeGreaterThan(0);
    }
  });

  test('in the technique block have room for their dose, or it is said that they have not', async () => {
    const { plan: p } = await planned(high, { time: { weeks: 8, sessionsPerWeek: 3 } });
    const items = p.weeks
      .flatMap((w) => w.sessions)
      .flatMap((s) => s.session.blocks)
      .flatMap((b) => b.items)
      .filter((i) => i.drill !== undefined && i.repeats !== undefined);
    expect(items.length).toBeGreaterThan(0);
    for (const { drill, repeats, text } of items) {
      const least = ruleSet.drills.get(drill as string)?.amount.pool25.repeats.least ?? 0;
      expect(text.includes('There is time for')).toBe((repeats as number) < least);
    }
  });

  test('lie as far apart in the week as they can', () => {
    expect(spread(3, 3)).toEqual([0, 1, 2]);
    expect(spread(3, 5)).toEqual([0, 2, 4]);
    expect(spread(2, 4)).toEqual([1, 3]);
    expect(spread(1, 1)).toEqual([0]);
  });

  test('of a progression follow each other step by step', async () => {
    const { plan: p } = await planned({
      ...high,
      observations: [],
      coach: { focus: [{ cause: 'short-finish-habit' }] },
    });
    const steps = p.focus.flatMap((f) => f.steps);
    expect(steps.length).toBeGreaterThan(0);
    for (const { from, to } of steps) expect(ruleSet.drills.get(from)?.progression).toBe(to);
  });
});

describe('the distance', () => {
  // 6000 x 0.8 = 4800; 1500 x 1.1 x 1.1 = 1815, in steps of 50 m; 12000 x 1.05^3 x 0.7 = 9724.05
  test('by hand', () => {
    const frame = (share: number, step: number) =>
      ({ load: { share, step } }) as Parameters<typeof mostMetres>[3];
    expect(mostMetres(6000, 1, 1, frame(0.8, 0), 50)).toBe(4800);
    expect(mostMetres(6000, 5, 1, frame(0.8, 0), 50)).toBe(4800);
    expect(mostMetres(1500, 3, 1, frame(1, 0.1), 50)).toBe(1800);
    expect(mostMetres(12000, 4, 0.7, frame(1, 0.05), 50)).toBe(9700);
  });

  test('never rises by more than the rules allow, and not at all with an ache or after a jump', async () => {
    const most = async (more: More) =>
      (await planned(high, more)).plan.weeks.map((w) => w.load.most as number);
    const plain = await most({ swimmer: { metresPerWeek: 5000 } });
    expect(plain[0]).toBe(5000);
    for (let i = 1; i < plain.length - 1; i++)
      expect(plain[i]).toBeLessThanOrEqual((plain[i - 1] as number) * 1.1 + 50);
    const sore = await most({
      swimmer: { metresPerWeek: 5000 },
      health: { pain: [{ site: 'shoulder', side: 'left', score: 2 }] },
    });
    expect(sore.slice(0, 5)).toEqual([4000, 4000, 4000, 4000, 4000]);
    const jump = await most({ swimmer: { metresPerWeek: 5000, metresPerWeekBefore: 4000 } });
    expect(jump.slice(0, 5)).toEqual([5000, 5000, 5000, 5000, 5000]);
  });
});

describe('a checkpoint', () => {
  // severity 3, one step by the same judge: 2; hips 12 cm deep, 3 cm the least to believe: 9 cm
  test('says what change counts, by hand', async () => {
    const { plan: p } = await planned(high);
    const signs = p.checkpoints[1]?.focus.flatMap((f) => f.signs) ?? [];
    expect(signs.find((s) => s.code === 'head-held-high')).toMatchObject({
      now: 3,
      smallestBelievable: 1,
      progress: { atMost: 2 },
    });
    expect(signs.find((s) => s.code === 'hip-depth')).toMatchObject({
      now: 12,
      smallestBelievable: 3,
      progress: { atMost: 9 },
    });
  });

  test('counts the drill sessions until then', async () => {
    const { plan: p } = await planned(high, { time: { weeks: 6, sessionsPerWeek: 1 } });
    const [, half] = p.checkpoints;
    expect(half?.focus[0]?.sessions).toBe(3);
    expect(half?.focus[0]?.text).toMatch(/too few to judge/);
  });
});

test('the plan of a mirrored record is the mirrored plan', async () => {
  const here = (await planned(oneArm)).plan;
  const there = (await planned(mirror(oneArm))).plan;
  expect(here.focus.some((f) => f.side === 'right')).toBe(true);
  const swapped = JSON.stringify(here)
    .replace(/"right"/g, '"LEFT"')
    .replace(/"left"/g, '"right"')
    .replace(/"LEFT"/g, '"left"')
    .replace(/\(right\)/g, '(LEFT)')
    .replace(/\(left\)/g, '(right)')
    .replace(/\(LEFT\)/g, '(left)');
  expect(JSON.parse(swapped)).toEqual(there);
});

test('no week, session or checkpoint asks for a held breath', async () => {
  const level = await Promise.all(
    (['novice', 'intermediate', 'advanced'] as const).map((l) => planned(high, { swimmer: { level: l } })),
  );
  const texts: string[] = [];
  JSON.parse(JSON.stringify(level.map((a) => a.plan)), (_, v: unknown) => {
    if (typeof v === 'string' && v.includes(' ')) texts.push(v);
    return v;
  });
  expect(texts.length).toBeGreaterThan(300);
  expect(texts.filter((t) => BREATH_HOLDING.patterns.some((p) => p.test(t)))).toEqual([]);
});

test('the chosen drills of the assessment are where the plan begins', async () => {
  const { drills } = await fullAnswer(high);
  const { plan: p } = await planned(high);
  const begun = p.focus.flatMap((f) => f.drills);
  for (const { code } of drills) expect(begun).toContain(code);
});
