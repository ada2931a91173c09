/** Percent of the swimmer's own best stroke: what was not looked at never scores better than what was seen to be fine. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { Efficiency, PhaseScore } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { requests } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

type Sighting = NonNullable<AssessmentRequest['observations']>[number];
type Phase = 'catch' | 'pull' | 'push';
type Scored = Extract<PhaseScore, { status: 'scored' }>;

const { deductions } = ruleSet.parts;
const PHASES = ['catch', 'pull', 'push'] as const;
const ROUNDED_TO = 5;
const CAP = 95;

const entry = (code: string, severity: number): Sighting => ({
  code,
  side: 'left',
  severity,
  certainty: 'sure',
  view: ruleSet.observations.get(code)?.views.includes('side-under') ? 'side-under' : 'front-under',
});
const film = { views: ['side-under', 'front-under'] as const, cycles: 3 };

/** Records around one finding: how much else was looked at, and what it showed. */
const others = (code: string): string[] =>
  deductions.map((d) => d.event.params.finding).filter((f) => f !== code);
const bases: Record<string, (code: string) => Sighting[]> = {
  'all else fine': (code) => others(code).map((f) => entry(f, 0)),
  'one other thing of each phase looked at': (code) =>
    PHASES.flatMap((phase) => {
      const rule = deductions.find((d) => d.event.params.phase === phase && d.event.params.finding !== code);
      return rule === undefined ? [] : [entry(rule.event.params.finding, 0)];
    }),
  'slight faults all over': (code) =>
    others(code)
      .filter((_, i) => i % 3 === 0)
      .map((f) => entry(f, 1)),
  'a bad catch and a fine rest': (code) =>
    [
      'dropped-elbow-catch',
      'straight-arm-press-down',
      'elbow-leads-hand',
      'early-exit',
      'elbow-lifts-first',
      'air-in-pull',
    ]
      .filter((f) => f !== code)
      .map((f, i) => entry(f, i < 2 ? 3 : 0)),
};

async function scores(observations: Sighting[]): Promise<Efficiency['left']> {
  const answer = await fullAnswer({
    swimmer: { level: 'intermediate' },
    health: { asked: true },
    recording: { views: [...film.views], cycles: film.cycles },
    observations,
    options: { nextLooks: 0 },
  });
  return answer.efficiency.left;
}

const lowOf = (score: PhaseScore): number => (score as Scored).low;
const estimateOf = (score: PhaseScore): number => (score as Scored).estimate;

describe.each(Object.entries(bases))('%s', (_, base) => {
  test.each(deductions.map((d) => d.event.params))(
    '$finding ($phase): fault seen <= not looked at <= looked at and absent',
    async ({ finding, phase }) => {
      const rest = base(finding);
      const unseen = await scores(rest);
      const absent = await scores([...rest, entry(finding, 0)]);
      expect(unseen.arm.status).toBe('scored');
      for (const part of [phase as Phase, 'arm' as const]) {
        expect(lowOf(unseen[part]), `${part} not looked at`).toBeLessThanOrEqual(lowOf(absent[part]));
        for (const severity of [1, 2, 3]) {
          const seen = await scores([...rest, entry(finding, severity)]);
          expect(lowOf(seen[part]), `${part} seen, ${severity}`).toBeLessThanOrEqual(lowOf(unseen[part]));
          expect(estimateOf(seen[part]), `${part} seen, ${severity}`).toBeLessThanOrEqual(
            estimateOf(absent[part]),
          );
        }
      }
    },
  );
});

test('a phase of which little was looked at may be much worse than it looks', async () => {
  const [all, few] = Object.values(bases) as [(c: string) => Sighting[], (c: string) => Sighting[]];
  const whole = await scores(all(''));
  const part = await scores(few(''));
  for (const phase of [...PHASES, 'arm' as const]) {
    expect(estimateOf(part[phase])).toBe(estimateOf(whole[phase]));
    expect(lowOf(part[phase]), phase).toBeLessThan(lowOf(whole[phase]));
  }
});

const scored = (e: Efficiency): Scored[] =>
  [...Object.values(e.left), ...Object.values(e.right)].filter((s) => s.status === 'scored');

describe('any score', () => {
  test('is a multiple of 5, at most 95, with its range around it', async () => {
    let met = 0;
    const filmed = requests({ recording: fc.constant({ views: [...film.views] }) });
    await fc.assert(
      fc.asyncProperty(filmed, async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        for (const s of scored(answer.efficiency)) {
          met++;
          for (const n of [s.estimate, s.low, s.high]) expect(n % ROUNDED_TO).toBe(0);
          expect(s.low).toBeGreaterThanOrEqual(0);
          expect(s.low).toBeLessThanOrEqual(s.estimate);
          expect(s.estimate).toBeLessThanOrEqual(s.high);
          expect(s.high).toBeLessThanOrEqual(CAP);
        }
      }),
      { numRuns: 60 },
    );
    expect(met).toBeGreaterThan(20);
  });

  test('needs all three phases for the arm, and both arms for a difference of right minus left', async () => {
    const filmed = requests({ recording: fc.constant({ views: [...film.views] }) });
    await fc.assert(
      fc.asyncProperty(filmed, async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        const { left, right, difference } = answer.efficiency;
        for (const arm of [left, right]) {
          const whole = PHASES.every((p) => arm[p].status === 'scored');
          expect(arm.arm.status).toBe(whole ? 'scored' : 'not-scorable');
        }
        if (left.arm.status !== 'scored' || right.arm.status !== 'scored') {
          expect(difference.status).toBe('not-scorable');
        } else {
          expect(difference).toMatchObject({
            estimate: right.arm.estimate - left.arm.estimate,
            low: right.arm.low - left.arm.high,
            high: right.arm.high - left.arm.low,
          });
        }
      }),
      { numRuns: 60 },
    );
  });

  test('of two scored arms gives a difference: the worse right arm is negative', async () => {
    const fine = deductions.map((d) => ({ ...entry(d.event.params.finding, 0), side: 'both' as const }));
    const worse = fine.map((o) => (o.code === 'early-exit' ? { ...o, side: 'left' as const } : o));
    const record: AssessmentRequest = {
      swimmer: { level: 'advanced' },
      recording: { views: [...film.views] },
      observations: [...worse, { ...entry('early-exit', 3), side: 'right' }],
      options: { nextLooks: 0 },
    };
    const { difference, left, right } = (await fullAnswer(record)).efficiency;
    expect(difference.status).toBe('scored');
    expect(estimateOf(difference)).toBe(estimateOf(right.arm) - estimateOf(left.arm));
    expect(estimateOf(difference)).toBeLessThan(0);
  });
});

describe('a phase that was not filmed from a view that shows it', () => {
  const arms = withoutLooks(workedCases[2]?.request as AssessmentRequest);
  const from = async (views: NonNullable<AssessmentRequest['recording']>['views']) => {
    const observations = (arms.observations ?? []).map(({ view: _, ...o }) => o);
    const answer = await fullAnswer({ ...arms, observations, recording: { views } });
    return answer.efficiency.left;
  };

  test('has no score: catch and push need the side view under water', async () => {
    const front = await from(['front-under', 'side-above', 'overhead']);
    for (const phase of ['catch', 'push', 'arm'] as const) expect(front[phase].status).toBe('not-scorable');
    expect(front.catch).toMatchObject({ because: [{ code: 'no-view-for-phase' }] });
    expect(front.pull.status).toBe('scored');
    const both = await from(['front-under', 'side-under']);
    for (const phase of [...PHASES, 'arm' as const]) expect(both[phase].status).toBe('scored');
  });

  test('has no score from above the water', async () => {
    const above = await from(['side-above', 'overhead']);
    for (const phase of [...PHASES, 'arm' as const]) expect(above[phase].status).toBe('not-scorable');
  });
});
