/** Health before technique: what stops, what is referred, what only changes the choice of drills. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { health as anyHealth, requests } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

type Health = NonNullable<AssessmentRequest['health']>;

const [novice] = workedCases.map((c) => withoutLooks(c.request)) as [AssessmentRequest];
const withHealth = (health: Health, request = novice): AssessmentRequest => ({ ...request, health });
const STOP_KEYS = ['cautions', 'decisionId', 'messages', 'ruleSet', 'status', 'summary'];

/** Stated here and not read from the gate's own rules: a rule that goes missing must show. */
const STOPS = [
  'chest-pain',
  'chest-pressure',
  'fainting',
  'near-fainting',
  'racing-heart',
  'irregular-heartbeat',
  'sudden-severe-headache',
  'one-sided-weakness',
  'slurred-speech',
  'breathless-beyond-effort',
  'frothy-or-bloody-cough',
  'crackling-breath',
  'new-numbness-or-tingling',
  'loss-of-coordination',
  'sudden-vision-loss',
  'wheezing-that-does-not-settle',
];
const STOPS_IN_PREGNANCY = [
  'vaginal-bleeding',
  'fluid-loss',
  'regular-contractions',
  'dizziness',
  'calf-pain-or-swelling',
  'breathless-before-effort',
  'less-baby-movement',
];
const NEEDS_CLEARANCE = [
  'heart-disease',
  'lung-disease',
  'asthma',
  'kidney-disease',
  'high-blood-pressure',
  'seizures',
  'diabetes-on-medicine',
  'recent-surgery',
  'recent-infection',
  'new-medicine',
  'pregnant',
  'postpartum',
];
const TRUNK_RED_FEATURES = [
  'tingling',
  'weakness',
  'numbness',
  'bladder-or-bowel-change',
  'at-night',
  'after-fall',
  'fever',
];

async function expectStop(request: AssessmentRequest): Promise<void> {
  const answer = await assess(request, ruleSet);
  expect(answer.status).toBe('stop');
  expect(Object.keys(answer).sort()).toEqual(STOP_KEYS);
  expect(answer.cautions.length).toBeGreaterThan(0);
  expect(answer.cautions.every((c) => c.because.length > 0 && c.text.length > 0)).toBe(true);
}

describe('a stop sign', () => {
  test('is known for every sign on the list', () => {
    expect(new Set([...STOPS, ...STOPS_IN_PREGNANCY])).toEqual(new Set(ruleSet.parts.lists.healthSigns));
  });

  test.each(STOPS)('%s stops everything, also where nobody asked systematically', async (sign) => {
    await expectStop(withHealth({ asked: true, signs: [sign] }));
    await expectStop(withHealth({ asked: false, signs: [sign] }));
  });

  test.each(STOPS_IN_PREGNANCY)('%s stops everything in pregnancy', async (sign) => {
    await expectStop(withHealth({ asked: true, signs: [sign], conditions: ['pregnant'] }));
  });

  test.each(['neck', 'back'])('a red feature of %s pain stops everything', async (site) => {
    for (const feature of TRUNK_RED_FEATURES)
      await expectStop(withHealth({ asked: true, pain: [{ site, score: 2, features: [feature] }] }));
  });

  test('stops any record, and the answer holds cautions and nothing else', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), fc.constantFrom(...STOPS), async (request, sign) => {
        const signs = [...(request.health?.signs ?? []), sign];
        await expectStop({ ...request, health: { asked: true, ...request.health, signs } });
      }),
      { numRuns: 30 },
    );
  });

  test('lets the request id and the metadata of the caller through', async () => {
    const echo = { requestId: 'club-7/0114', metadata: { lane: '3' } };
    const answer = await assess({ ...withHealth({ asked: true, signs: ['fainting'] }), ...echo }, ruleSet);
    expect(Object.keys(answer).sort()).toEqual([...STOP_KEYS, 'requestId', 'metadata'].sort());
    expect(answer).toMatchObject({ ...echo, status: 'stop' });
  });

  test('that was asked for and not there stops nothing', async () => {
    const answer = await assess(withHealth({ asked: true, signs: [] }), ruleSet);
    expect(answer.status).toBe('ok');
  });
});

describe('a clinician who does not agree', () => {
  test.each(NEEDS_CLEARANCE)('with %s refers the whole body and gives no drill', async (condition) => {
    const health = { asked: true, conditions: [condition], clinicianAgrees: false };
    const answer = await fullAnswer(withHealth(health));
    expect(answer.status).toBe('refer');
    expect(answer.restrictions.map((r) => r.bodyPart)).toEqual(['whole-body']);
    expect(answer.drills).toEqual([]);
    expect(answer.session.blocks.flatMap((b) => b.items).filter((i) => i.drill !== undefined)).toEqual([]);
    for (const arm of [answer.efficiency.left, answer.efficiency.right])
      for (const score of Object.values(arm)) expect(score.status).toBe('not-scorable');

    const agreed = await fullAnswer(withHealth({ ...health, clinicianAgrees: true }));
    expect(agreed.status).toBe('ok');
    expect(agreed.restrictions).toEqual([]);
  });

  test('gives no drill on any record', async () => {
    const health = fc.tuple(anyHealth, fc.constantFrom(...NEEDS_CLEARANCE)).map(
      ([h, condition]): Health => ({
        ...h,
        asked: true,
        signs: [],
        conditions: [...(h?.conditions ?? []), condition],
        clinicianAgrees: false,
      }),
    );
    await fc.assert(
      fc.asyncProperty(requests({ health }), async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        expect(answer.status).toBe('refer');
        expect(answer.drills).toEqual([]);
        expect(answer.session.blocks.flatMap((b) => b.items).some((i) => i.drill !== undefined)).toBe(false);
      }),
      { numRuns: 40 },
    );
  });
});

describe('health that nobody asked about', () => {
  test('is said in the messages and the cautions', async () => {
    for (const health of [undefined, { asked: false }]) {
      const { health: _, ...rest } = novice;
      const answer = await fullAnswer(health === undefined ? rest : { ...rest, health });
      expect(answer.messages).toContainEqual(
        expect.objectContaining({ severity: 'warning', code: 'health-not-asked' }),
      );
      expect(answer.cautions.map((c) => c.code)).toContain('health-not-asked');
    }
    const asked = await fullAnswer(withHealth({ asked: true }));
    expect([...asked.messages, ...asked.cautions].map((m) => m.code)).not.toContain('health-not-asked');
  });

  test('is said in a stop as well', async () => {
    const answer = await assess(withHealth({ asked: false, signs: ['fainting'] }), ruleSet);
    expect(answer.messages.map((m) => m.code)).toEqual(['health-not-asked']);
  });
});
