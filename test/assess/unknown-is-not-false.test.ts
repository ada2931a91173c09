/** What nobody looked at counts exactly nothing, and what does not belong to the question changes nothing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { ConditionValue } from '../../src/contract/answer.ts';
import { LEVELS } from '../../src/contract/common.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { requests } from './arbitraries.ts';
import { concluded, fullAnswer, probabilities, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

/** The only operators that may answer when the fact is not known: they ask about the not-knowing itself. */
const ABOUT_NOT_KNOWING = new Set(['notAssessed', 'isUnknown', 'isNotConfirmed', 'notSeen']);

const { words } = ruleSet.parts.constants;

describe('an empty record', () => {
  test.each(LEVELS)('%s: every cause stands at its prior', async (level) => {
    const c = await concluded({ swimmer: { level } });
    const known = probabilities(c);
    const roots = ruleSet.parts.causes.filter((cause) => cause.role !== 'mechanism');
    expect(roots.length).toBeGreaterThan(40);
    for (const cause of roots) {
      const prior = words.prior[cause.prior?.[level] as string] as number;
      for (const key of cause.sided ? [`${cause.code}@left`, `${cause.code}@right`] : [cause.code])
        expect(known.get(key), key).toBeCloseTo(prior, 12);
    }
    expect(c.evidence.fixed).toEqual([]);
    expect(c.findings.size).toBe(0);
  });

  test.each(LEVELS)('%s: nothing is listed, scored or prescribed, and more is asked for', async (level) => {
    const answer = await fullAnswer({ swimmer: { level } });
    expect(answer).toMatchObject({
      status: 'ask-more',
      findings: [],
      strengths: [],
      causes: [],
      mechanisms: [],
      focus: [],
      drills: [],
      restrictions: [],
    });
    for (const arm of [answer.efficiency.left, answer.efficiency.right])
      for (const score of Object.values(arm)) expect(score.status).toBe('not-scorable');
    expect(answer.efficiency.difference.status).toBe('not-scorable');
  });

  test('empty lists say no more than missing ones', async () => {
    const bare = await fullAnswer({ swimmer: { level: 'novice' } });
    const { decisionId: _, ...spelt } = await fullAnswer({
      swimmer: { level: 'novice' },
      observations: [],
      measurements: [],
      coach: {},
      options: {},
    });
    expect(bare).toMatchObject(spelt);
  });
});

describe('what was not looked at', () => {
  test('speaks in no line of the trail and in no finding', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        const found = new Set(answer.findings.map((f) => `${f.code}@${f.side}`));
        for (const cause of [...answer.causes, ...answer.mechanisms])
          for (const line of cause.trail)
            if (line.kind === 'finding') expect(found).toContain(`${line.code}@${line.side}`);
      }),
      { numRuns: 40 },
    );
  });

  test('makes a condition unknown, never false', async () => {
    const full = { explain: 'full' as const, nextLooks: 0 };
    let unknown = 0;
    const check = (c: ConditionValue): void => {
      if (c.actual !== null || ABOUT_NOT_KNOWING.has(c.operator)) return;
      unknown++;
      expect(c.state, `${c.fact} ${c.operator}`).toBe('unknown');
    };
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess({ ...request, options: full }, ruleSet);
        if (answer.status === 'stop') return;
        for (const rule of answer.trail.rules) rule.conditions.forEach(check);
      }),
      { numRuns: 20 },
    );
    expect(unknown).toBeGreaterThan(1000);
  });

  test('differs from what was looked for and not there', async () => {
    const base = withoutLooks((workedCases[0] as { request: AssessmentRequest }).request);
    const looked: AssessmentRequest = {
      ...base,
      observations: [
        ...(base.observations ?? []),
        { code: 'head-buried-deep', severity: 0, certainty: 'sure' },
        { code: 'legs-scissor', severity: 0, certainty: 'sure' },
      ],
    };
    const [before, after] = [await fullAnswer(base), await fullAnswer(looked)];
    expect(before.findings.some((f) => f.code === 'legs-scissor')).toBe(false);
    expect(after.findings.find((f) => f.code === 'legs-scissor')?.status).toBe('absent');
    const over = async (r: AssessmentRequest) =>
      probabilities(await concluded(r)).get('over-turn-for-air') as number;
    expect(await over(looked)).toBeLessThan(await over(base));
  });
});

describe('what is not part of the question', () => {
  test('is echoed or left out, and changes nothing else, not even the decision id', async () => {
    const text = fc.string({ minLength: 1, maxLength: 20 });
    await fc.assert(
      fc.asyncProperty(requests(), text, text, async (request, note, lane) => {
        const echo = { requestId: 'club-7/0114', metadata: { lane } };
        const annotated: AssessmentRequest = {
          ...request,
          ...echo,
          observations: (request.observations ?? []).map((o) => ({ ...o, note })),
        };
        const plain = await assess(request, ruleSet);
        expect(await assess(annotated, ruleSet)).toEqual({ ...plain, ...echo });
      }),
      { numRuns: 40 },
    );
  });
});
