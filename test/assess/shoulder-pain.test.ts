/** A sore shoulder: red flags are referred, restrict that shoulder and withhold its number; a mild ache only modifies. */
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { FullAnswer } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { causeChoice, requests } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

type Arm = 'left' | 'right';
const ARMS = ['left', 'right'] as const;
const RED_FEATURES = [
  'at-night',
  'at-rest',
  'weakness',
  'numbness',
  'tingling',
  'slipping',
  'locking',
  'sudden-after-pop',
  'swelling',
  'fever',
];
/** Kept from a shoulder that aches: what adds load or leverage. */
const TOO_MUCH_FOR_AN_ACHE = ['paddles', 'band', 'long-lever'];

const sprinter = withoutLooks(workedCases[2]?.request as AssessmentRequest);

/** The same record with the complaint written down in one of the places that the contract has for it. */
type Complaint = (record: AssessmentRequest, arm: Arm) => AssessmentRequest;
const entries = (record: AssessmentRequest, arm: Arm) => ({
  observations: (record.observations ?? []).filter(
    (o) => !(o.code === 'shoulder-pain-report' && (o.side === arm || o.side === 'both')),
  ),
  measurements: (record.measurements ?? []).filter((m) => m.code !== 'pain'),
});
const inHealth =
  (score: number, features: string[] = []): Complaint =>
  (record, arm) => ({
    ...record,
    ...entries(record, arm),
    health: { asked: true, pain: [{ site: 'shoulder', side: arm, score, features }] },
  });
const asMeasurement =
  (value: number): Complaint =>
  (record, arm) => {
    const { observations, measurements } = entries(record, arm);
    return {
      ...record,
      observations,
      measurements: [...measurements, { code: 'pain', side: arm, value, certainty: 'sure' }],
    };
  };
const asObservation =
  (severity: number): Complaint =>
  (record, arm) => {
    const { observations, measurements } = entries(record, arm);
    const report = { code: 'shoulder-pain-report', side: arm, severity, certainty: 'sure' as const };
    return { ...record, measurements, observations: [...observations, report] };
  };

const redFlags: [string, Complaint][] = [
  ...[3.5, 4, 7, 10].map((score): [string, Complaint] => [`score ${score}`, inHealth(score)]),
  ...RED_FEATURES.map((f): [string, Complaint] => [`score 1 and ${f}`, inHealth(1, [f])]),
  ['measurement pain 4', asMeasurement(4)],
  ['shoulder-pain-report 2', asObservation(2)],
  ['shoulder-pain-report 3', asObservation(3)],
];
const aches: [string, Complaint][] = [
  ...[1, 2, 3].map((score): [string, Complaint] => [`score ${score}`, inHealth(score)]),
  ...[1, 2, 3].map((value): [string, Complaint] => [`measurement pain ${value}`, asMeasurement(value)]),
  ['shoulder-pain-report 1', asObservation(1)],
];

/** Every drill that the answer names, chosen or in the session. */
function named(answer: FullAnswer): string[] {
  const items = answer.session.blocks.flatMap((b) => b.items);
  return [
    ...answer.drills.map((d) => d.code),
    ...items.flatMap((i) => (i.drill === undefined ? [] : [i.drill])),
  ];
}
const loadsShoulder = (code: string): boolean => ruleSet.drills.get(code)?.loads.includes('shoulder') ?? true;

describe.each(redFlags)('%s', (_, complain) => {
  test.each(ARMS)('on the %s refers, restricts that shoulder and withholds that arm', async (arm) => {
    const answer = await fullAnswer(complain(sprinter, arm));
    expect(answer.status).toBe('refer');
    expect(answer.restrictions.map((r) => [r.bodyPart, r.side])).toEqual([['shoulder', arm]]);
    expect(answer.cautions.map((c) => c.code)).toContain('shoulder-red-flags');
    expect(named(answer).filter(loadsShoulder)).toEqual([]);
    const other = arm === 'left' ? 'right' : 'left';
    for (const score of Object.values(answer.efficiency[arm]))
      expect(score).toMatchObject({ status: 'not-scorable', because: [{ code: 'painful-arm' }] });
    for (const score of Object.values(answer.efficiency[other])) expect(score.status).toBe('scored');
    expect(answer.efficiency.difference.status).toBe('not-scorable');
  });
});

describe.each(aches)('%s', (_, complain) => {
  test.each(ARMS)('on the %s only modifies', async (arm) => {
    const answer = await fullAnswer(complain(sprinter, arm));
    expect(answer.status).toBe('ok');
    expect(answer.restrictions).toEqual([]);
    expect(answer.cautions.map((c) => c.code)).toContain('shoulder-pain-mild');
    expect(answer.efficiency[arm].arm.status).toBe('scored');
    const tags = named(answer).flatMap((code) => ruleSet.drills.get(code)?.tags ?? []);
    for (const tag of TOO_MUCH_FOR_AN_ACHE) expect(tags).not.toContain(tag);
  });
});

describe('a shoulder with red flags', () => {
  test('without a side means both', async () => {
    const health = { asked: true, pain: [{ site: 'shoulder', score: 6 }] };
    const answer = await fullAnswer({ ...sprinter, health });
    expect(answer.restrictions.map((r) => r.side).sort()).toEqual(['left', 'right']);
  });

  const sore: Arbitrary<AssessmentRequest> = fc
    .tuple(requests(), fc.constantFrom(...redFlags), fc.constantFrom(...ARMS))
    .map(([record, [, complain], arm]) => complain({ ...record, health: { asked: true } }, arm));

  test('is loaded by no drill of any record, chosen or in the session', async () => {
    await fc.assert(
      fc.asyncProperty(sore, async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        expect(answer.status).toBe('refer');
        expect(named(answer).filter(loadsShoulder)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  test("is not loaded for a coach's focus either", async () => {
    const focus = fc.uniqueArray(causeChoice, { minLength: 1, maxLength: 2, selector: (c) => c.cause });
    await fc.assert(
      fc.asyncProperty(sore, focus, async (request, chosen) => {
        const answer = await assess({ ...request, coach: { focus: chosen } }, ruleSet);
        if (answer.status === 'stop') return;
        expect(answer.focus.map((f) => f.cause)).toEqual(chosen.map((c) => c.cause));
        expect(named(answer).filter(loadsShoulder)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  test("warns where a coach's focus lies on the sore arm", async () => {
    const coach = { focus: [{ cause: 'press-down-at-front', side: 'left' as const }] };
    const answer = await fullAnswer({ ...inHealth(6)(sprinter, 'left'), coach });
    expect(answer.messages).toContainEqual(
      expect.objectContaining({ severity: 'warning', code: 'coach-focus-restricted' }),
    );
  });
});
