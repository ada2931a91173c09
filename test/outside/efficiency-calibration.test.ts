/**
 * Two records of known answer [common practice]: coaches call an arm with record A at most about 75 % and one with
 * record B about 50 %. They fix the weights of the phases; every other number of the estimate is judgement.
 */
import { describe, expect, test } from 'vitest';
import { retained } from '../../src/assess/efficiency.ts';
import type { PhaseScore } from '../../src/contract/answer.ts';
import type { Arm } from '../../src/contract/common.ts';
import { PHASES } from '../../src/knowledge/parts.ts';
import { fullAnswer, ruleSet } from '../assess/front-crawl.ts';

type Phase = (typeof PHASES)[number];
type Severities = { readonly [finding: string]: 1 | 2 | 3 };

const A: Severities = {
  'dropped-elbow-catch': 2,
  'forearm-not-upright': 1,
  'early-exit': 1,
  'hand-turned-in-finish': 1,
};
const B: Severities = {
  'no-effective-catch': 3,
  'elbow-leads-hand': 2,
  'early-exit': 3,
  'hand-turned-in-finish': 2,
};

const { weights, floor, cap } = ruleSet.parts.constants.efficiency;

/** Share of one phase that is left, from the deductions in the rule set. */
function left(record: Severities, phase: Phase): number {
  const deductions = ruleSet.parts.deductions.flatMap(({ id, event }) => {
    const { finding, shares, phase: of } = event.params;
    const severity = record[finding];
    if (severity === undefined || of !== phase) return [];
    return [{ finding, rule: id, share: shares[severity - 1] as number }];
  });
  return retained(deductions, floor).share;
}

const rawPercent = (record: Severities, weighed: { readonly [P in Phase]: number } = weights): number =>
  PHASES.reduce((total, phase) => total + 100 * weighed[phase] * left(record, phase), 0);

async function scoresOf(
  record: Severities,
  arm: Arm,
): Promise<{ readonly [K in Phase | 'arm']: PhaseScore }> {
  const answer = await fullAnswer({
    swimmer: { level: 'intermediate' },
    recording: { views: ['side-under', 'front-under'] },
    observations: Object.entries(record).map(([code, severity]) => ({
      code,
      severity,
      side: arm,
      certainty: 'sure',
    })),
    options: { nextLooks: 0 },
  });
  return answer.efficiency[arm];
}

describe('one arm of known answer [common practice]', () => {
  test.each([
    ['A', A, [0.4, 0.82, 0.799], 74.8],
    ['B', B, [0.1, 0.6, 0.54], 49.8],
  ] as const)(
    'record %s leaves the shares worked out by hand, together %d %%',
    (_, record, shares, percent) => {
      PHASES.forEach((phase, i) => {
        expect(left(record, phase)).toBeCloseTo(shares[i] as number, 12);
      });
      expect(rawPercent(record).toFixed(1)).toBe(percent.toFixed(1));
    },
  );

  test.each(['left', 'right'] as const)('an assessment of the %s arm answers 75 and 50', async (arm) => {
    const a = await scoresOf(A, arm);
    const b = await scoresOf(B, arm);
    expect(a.arm).toMatchObject({ status: 'scored', estimate: 75 });
    expect(b.arm).toMatchObject({ status: 'scored', estimate: 50 });
    // phases, rounded to 5
    expect(PHASES.map((p) => a[p])).toMatchObject([{ estimate: 40 }, { estimate: 80 }, { estimate: 80 }]);
    expect(PHASES.map((p) => b[p])).toMatchObject([{ estimate: 10 }, { estimate: 60 }, { estimate: 55 }]);
  });

  test('the range of the answer holds the answer of common practice and is honest about what was not looked at', async () => {
    for (const [record, known] of [
      [A, 75],
      [B, 50],
    ] as const) {
      const { arm } = await scoresOf(record, 'left');
      if (arm.status !== 'scored') throw new Error('not scored');
      expect(arm.low).toBeLessThan(known);
      expect(arm.high).toBeGreaterThan(known);
      expect(arm.high).toBeLessThanOrEqual(cap);
      expect(arm.notAssessed.length).toBeGreaterThan(0);
    }
  });

  test('a catch that holds nothing stands for the dropped elbow as well', async () => {
    const { catch: phase } = await scoresOf({ ...B, 'dropped-elbow-catch': 2 }, 'left');
    if (phase.status !== 'scored') throw new Error('not scored');
    expect(phase.lost.map((l) => l.observation)).toEqual(['no-effective-catch']);
  });

  test('stricter readings of the same arms, worked out by hand', () => {
    const round = (record: Severities): number => Math.round(rawPercent(record));
    expect(round({ ...A, 'hand-turned-in-finish': 2 })).toBe(72);
    expect(round({ ...A, 'forearm-not-upright': 2 })).toBe(69);
    expect(round({ ...B, 'elbow-leads-hand': 3 })).toBe(44);
    expect(round({ ...B, 'early-exit': 2 })).toBe(55);
  });
});

describe('the phases of the arm stroke [common practice]', () => {
  test('weigh .15, .40 and .45, which the two known answers ask for', () => {
    expect(weights).toEqual({ catch: 0.15, pull: 0.4, push: 0.45 });
  });

  test('equal thirds would miss both known answers: 67 and 41', () => {
    const thirds = { catch: 1 / 3, pull: 1 / 3, push: 1 / 3 };
    expect(rawPercent(A, thirds).toFixed(0)).toBe('67');
    expect(rawPercent(B, thirds).toFixed(0)).toBe('41');
  });

  test('the catch ends after the first 15 percent of the path under water, where its forearm angle is read', () => {
    expect(ruleSet.texts.measurements['forearm-pitch-at-catch']?.definition).toContain(
      '15 percent of its underwater path',
    );
  });
});
