/** Reports that speak against each other are shown and ask for a fresh look; they are never averaged away in silence. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { concluded, fullAnswer, probabilities, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

type Sighting = NonNullable<AssessmentRequest['observations']>[number];
type Reading = NonNullable<AssessmentRequest['measurements']>[number];

/** Filmed from every side, so that no view limits what a report counts. */
const base: AssessmentRequest = {
  swimmer: { level: 'intermediate' },
  health: { asked: true },
  recording: { views: ['overhead', 'side-above', 'side-under', 'front-under', 'rear'], cycles: 4 },
  observations: [
    { code: 'body-snakes', severity: 1, certainty: 'sure' },
    { code: 'surge-and-stall', severity: 1, certainty: 'sure' },
    { code: 'kick-too-big', severity: 0, certainty: 'sure' },
  ],
  options: { nextLooks: 0 },
};
const adding = (observations: Sighting[], measurements: Reading[] = []): AssessmentRequest => ({
  ...base,
  observations: [...(base.observations ?? []), ...observations],
  measurements: [...(base.measurements ?? []), ...measurements],
});

const artefact = async (request: AssessmentRequest): Promise<number> =>
  probabilities(await concluded(request)).get('view-artefact') as number;

/** The contradiction is told, and the picture is doubted more than in either record without it. */
async function expectContradiction(
  code: string,
  request: AssessmentRequest,
  oneSided: readonly AssessmentRequest[],
): Promise<void> {
  const answer = await fullAnswer(request);
  const found = answer.findings.filter((f) => f.code === code);
  expect(found.some((f) => f.conflict)).toBe(true);
  expect(answer.messages).toContainEqual(
    expect.objectContaining({
      severity: 'warning',
      code: 'reports-conflict',
      about: expect.objectContaining({ code }),
    }),
  );
  expect(answer.status).toBe('ask-more');
  for (const other of oneSided) {
    expect((await fullAnswer(other)).findings.some((f) => f.conflict)).toBe(false);
    expect(await artefact(request)).toBeGreaterThan(await artefact(other));
  }
}

/** What pain does to the status is the business of the health gate. */
const OF_THE_GATE = ['shoulder-pain-report', 'neck-or-back-complaint'];
const faults = ruleSet.parts.observations.filter(
  (o) => o.polarity === 'fault' && !OF_THE_GATE.includes(o.code),
);
const inBase = new Set(base.observations?.map((o) => o.code));

describe('two observers who are sure of the opposite', () => {
  const looks = (code: string, sided: boolean): [Sighting, Sighting] => {
    const entry = { code, ...(sided ? { side: 'left' as const } : {}), certainty: 'sure' as const };
    return [
      { ...entry, severity: 2, observer: 'A' },
      { ...entry, severity: 0, observer: 'B' },
    ];
  };

  test('of any fault ask for a fresh look', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...faults.filter((o) => !inBase.has(o.code))),
        async ({ code, sided }) => {
          const [seen, absent] = looks(code, sided);
          await expectContradiction(code, adding([seen, absent]), [adding([seen]), adding([absent])]);
        },
      ),
      { numRuns: 60 },
    );
  });

  test('count the same in either order of the observers', async () => {
    const [seen, absent] = looks('hips-low', false);
    const { decisionId: _, ...one } = await fullAnswer(adding([seen, absent]));
    const swapped = [
      { ...seen, observer: 'B' },
      { ...absent, observer: 'A' },
    ];
    const { decisionId: __, ...other } = await fullAnswer(adding(swapped));
    expect(other).toEqual(one);
  });

  test('leave the finding about where its causes put it, neither there nor not there', async () => {
    const [seen, absent] = looks('hips-low', false);
    const of = async (r: AssessmentRequest) =>
      (await fullAnswer(r)).findings.find((f) => f.code === 'hips-low')?.belief as number;
    const [both, there, not] = await Promise.all([
      of(adding([seen, absent])),
      of(adding([seen])),
      of(adding([absent])),
    ]);
    expect(both).toBeLessThan(there);
    expect(both).toBeGreaterThan(not);
  });

  test('who are both unsure are no contradiction', async () => {
    const unsure = looks('hips-low', false).map((o) => ({ ...o, certainty: 'unsure' as const }));
    const answer = await fullAnswer(adding(unsure));
    expect(answer.status).toBe('ok');
    expect(answer.messages.filter((m) => m.code === 'reports-conflict' && m.severity === 'warning')).toEqual(
      [],
    );
  });

  test('warn in any worked case', async () => {
    for (const { request } of workedCases.slice(0, 4)) {
      const record = withoutLooks(request);
      const [seen, absent] = looks('legs-scissor', false);
      const observations = [...(record.observations ?? []), seen, absent];
      expect((await fullAnswer(record)).status).toBe('ok');
      expect((await fullAnswer({ ...record, observations })).status).toBe('ask-more');
    }
  });
});

describe('an eye against a tape', () => {
  const sure = { certainty: 'sure' as const };
  test.each<[string, Sighting, Reading]>([
    [
      'hips seen low, measured level',
      { code: 'hips-low', severity: 2, ...sure },
      { code: 'hip-depth', value: 0, ...sure },
    ],
    [
      'hips seen level, measured low',
      { code: 'hips-low', severity: 0, ...sure },
      { code: 'hip-depth', value: 12, ...sure },
    ],
    [
      'an early exit seen, measured late',
      { code: 'early-exit', side: 'left', severity: 2, ...sure },
      { code: 'exit-past-hip', side: 'left', value: 15, ...sure },
    ],
    [
      'a full roll seen, measured flat',
      { code: 'little-roll', severity: 0, ...sure },
      { code: 'shoulder-roll', value: 24, ...sure },
    ],
    [
      'a crossing hand seen, measured in line',
      { code: 'entry-crosses-midline', side: 'right', severity: 2, ...sure },
      { code: 'entry-offset', side: 'right', value: 16, ...sure },
    ],
  ])('%s', async (_, seen, measured) => {
    await expectContradiction(seen.code, adding([seen], [measured]), [
      adding([seen]),
      adding([], [measured]),
    ]);
  });

  test('that agree are no contradiction', async () => {
    const answer = await fullAnswer(
      adding([{ code: 'hips-low', severity: 2, ...sure }], [{ code: 'hip-depth', value: 12, ...sure }]),
    );
    expect(answer.findings.some((f) => f.conflict)).toBe(false);
    expect(answer.status).toBe('ok');
  });
});
