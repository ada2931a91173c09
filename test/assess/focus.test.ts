/** One or two things to work on: comfort first, causes before what they cause, and the coach has the last word. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { Cause } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { causeChoice, observations, requests } from './arbitraries.ts';
import { concluded, fullAnswer, probabilities, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

const COMFORT = ['breath-holding', 'water-anxiety', 'pace-above-fitness'];
const LIKELY = ruleSet.words.get('likely') as number;
const gasping = withoutLooks(workedCases[0]?.request as AssessmentRequest);
const flat = withoutLooks(workedCases[1]?.request as AssessmentRequest);

const heldBreath = ['no-bubbles-face-in', 'exhale-blown-at-surface', 'gasping-short-inhale'].map((code) => ({
  code,
  severity: 3,
  certainty: 'sure' as const,
}));

const find = (causes: readonly Cause[], code: string, side = 'body'): Cause =>
  causes.find((c) => c.code === code && c.side === side) as Cause;

test('there are never more than two, each of them once', async () => {
  await fc.assert(
    fc.asyncProperty(requests(), async (request) => {
      const answer = await assess(request, ruleSet);
      if (answer.status === 'stop') return;
      expect(answer.focus.length).toBeLessThanOrEqual(2);
      expect(new Set(answer.focus.map((f) => f.cause)).size).toBe(answer.focus.length);
    }),
    { numRuns: 60 },
  );
});

describe('comfort', () => {
  test('leads when it is likely, although another cause weighs more', async () => {
    const answer = await fullAnswer(gasping);
    const leader = answer.focus[0];
    expect(COMFORT).toContain(leader?.cause);
    expect(leader?.because).toContain('comfort-first');
    // without the principle the second would have been first
    expect(answer.focus[1]?.priority).toBeGreaterThan(leader?.priority as number);
  });

  test('leads in any record that shows held breath, whatever else it shows', async () => {
    const records = requests({
      observations: observations.map((seen) => [...seen, ...heldBreath]),
      coach: fc.constant(undefined),
    });
    let led = 0;
    for (const request of fc.sample(records, { numRuns: 80, seed: 9 })) {
      const answer = await assess(request, ruleSet);
      // pain comes before comfort, and a sprinter at race pace is meant to be out of breath
      if (answer.status !== 'ok' || answer.focus.length === 0) continue;
      const { level, goal, weeksToRace } = request.swimmer;
      if (level === 'advanced' && goal === 'pool-sprint' && request.recording?.pace === 'race') continue;
      // close to a race only what changes within a few sessions is touched
      if (weeksToRace !== undefined && weeksToRace <= 2) continue;
      const likely = answer.causes.filter((c) => COMFORT.includes(c.code) && c.probability >= LIKELY);
      if (likely.length === 0) continue;
      led++;
      expect(likely.map((c) => c.code)).toContain(answer.focus[0]?.cause);
    }
    expect(led).toBeGreaterThan(20);
  });

  test('has no such right where a sprinter races', async () => {
    const { observations: seen = [], ...sprint } = withoutLooks(workedCases[2]?.request as AssessmentRequest);
    const record: AssessmentRequest = { ...sprint, observations: [...seen, ...heldBreath] };
    const racing = await fullAnswer(record);
    expect(find(racing.causes, 'breath-holding').probability).toBeGreaterThan(LIKELY);
    expect(racing.focus.flatMap((f) => f.because)).not.toContain('comfort-first');
    const steady = await fullAnswer({ ...record, recording: { ...record.recording, pace: 'steady' } });
    expect(steady.focus[0]?.cause).toBe('breath-holding');
    expect(steady.focus[0]?.because).toContain('comfort-first');
  });
});

describe('a driver', () => {
  test('steps in front of what it drives, although that weighs more', async () => {
    const sure = { certainty: 'sure' as const };
    const answer = await fullAnswer({
      swimmer: { level: 'intermediate' },
      health: { asked: true },
      recording: { views: ['overhead', 'rear', 'front-under', 'side-under'], cycles: 3 },
      observations: [
        { code: 'little-roll', severity: 1, ...sure },
        { code: 'recovery-swings-wide', side: 'left', severity: 3, ...sure },
        { code: 'recovery-swings-wide', side: 'right', severity: 0, ...sure },
        { code: 'hips-low', severity: 0, ...sure },
        { code: 'upper-back-stiff', side: 'both', severity: 0, ...sure },
        { code: 'shoulder-reach-limited', side: 'both', severity: 0, ...sure },
      ],
      options: { nextLooks: 0 },
    });
    const [first, second] = answer.focus;
    expect([first?.cause, second?.cause]).toEqual(['under-rotation', 'wide-low-recovery']);
    expect(first?.because).toContain('cause-before-symptom');
    expect(second?.priority).toBeGreaterThan(first?.priority as number);
    expect(find(answer.causes, 'wide-low-recovery', 'left').drivenBy).toContainEqual({
      cause: 'under-rotation',
      side: 'body',
    });
  });
});

describe("the coach's focus", () => {
  test('replaces the focus, is marked as such and changes no probability', async () => {
    const focus = fc.uniqueArray(causeChoice, { minLength: 1, maxLength: 2, selector: (c) => c.cause });
    const plain = requests({ coach: fc.constant(undefined), health: fc.constant({ asked: true }) });
    await fc.assert(
      fc.asyncProperty(plain, focus, async (request, chosen) => {
        const without = await assess(request, ruleSet);
        if (without.status === 'stop') return;
        const withFocus = { ...request, coach: { focus: chosen } };
        const answer = await fullAnswer(withFocus);
        expect(answer.focus.map((f) => f.cause)).toEqual(chosen.map((c) => c.cause));
        for (const f of answer.focus)
          expect(f).toMatchObject({ chosenBy: 'coach', because: ['coach-choice'] });
        expect(answer.messages.map((m) => m.code)).toContain('coach-focus');
        expect(probabilities(await concluded(withFocus))).toEqual(probabilities(await concluded(request)));
        expect(answer.status).toBe(without.status);
        expect(new Set(answer.causes)).toEqual(new Set(without.causes));
      }),
      { numRuns: 40 },
    );
  });

  test('an empty one means that nothing is worked on', async () => {
    const answer = await fullAnswer({ ...gasping, coach: { focus: [] } });
    expect(answer.focus).toEqual([]);
    expect(answer.drills).toEqual([]);
  });
});

describe('a rejected cause', () => {
  test('stays listed with the reason, and is not worked on', async () => {
    for (const { request } of workedCases.slice(0, 4)) {
      const record = withoutLooks(request);
      const before = await fullAnswer(record);
      const because = 'seen otherwise';
      const rejectCauses = before.focus.map((f) => ({
        cause: f.cause,
        side: f.side === 'body' ? f.side : ('both' as const),
        because,
      }));
      const after = await fullAnswer({ ...record, coach: { rejectCauses } });
      const rejected = new Set(rejectCauses.map((r) => r.cause));
      expect(after.focus.length).toBeGreaterThan(0);
      expect(after.focus.filter((f) => rejected.has(f.cause))).toEqual([]);
      expect(after.causes).toHaveLength(before.causes.length);
      for (const cause of before.causes) {
        const same = find(after.causes, cause.code, cause.side);
        expect(same.probability).toBe(cause.probability);
        expect(same.rejectedByCoach).toBe(rejected.has(cause.code) ? because : undefined);
      }
    }
  });

  test('of one arm leaves the other arm in play', async () => {
    const because = 'an old film';
    const rejectCauses = [{ cause: 'wide-low-recovery', side: 'left' as const, because }];
    const answer = await fullAnswer({ ...flat, coach: { rejectCauses } });
    expect(find(answer.causes, 'wide-low-recovery', 'left').rejectedByCoach).toBe(because);
    expect(answer.focus).not.toContainEqual(
      expect.objectContaining({ cause: 'wide-low-recovery', side: 'left' }),
    );
    const right = find(answer.causes, 'wide-low-recovery', 'right');
    expect(right?.rejectedByCoach).toBeUndefined();
  });
});
