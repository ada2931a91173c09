/** The same record gives the same bytes, in whatever order its lists were typed. */
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { requests } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

/** The first focus is the first thing to work on, so this order is meant. */
const MEANT = new Set(['focus']);

/** Draws a new order for every list, and reverses the fields of every object in a list. */
function reorder(value: unknown, draw: () => number, name = ''): unknown {
  if (Array.isArray(value)) {
    const list = value.map((v) => reorder(v, draw));
    if (MEANT.has(name)) return list;
    for (let i = list.length - 1; i > 0; i--) {
      const j = draw() % (i + 1);
      [list[i], list[j]] = [list[j], list[i]];
    }
    return list;
  }
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([k, v]) => [k, reorder(v, draw, k)]),
  );
}

const draws: Arbitrary<() => number> = fc.infiniteStream(fc.nat()).map((stream) => () => {
  const { value } = stream.next();
  return value as number;
});

describe('order never matters', () => {
  test('of any list of the request, or of the fields of an entry', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), draws, async (request, draw) => {
        const shuffled = reorder(request, draw) as AssessmentRequest;
        expect(JSON.stringify(await assess(shuffled, ruleSet))).toBe(
          JSON.stringify(await assess(request, ruleSet)),
        );
      }),
      { numRuns: 60 },
    );
  });

  test('of worked cases turned upside down, next looks included', async () => {
    for (const { request } of workedCases) {
      const reversed: AssessmentRequest = {
        ...request,
        observations: [...(request.observations ?? [])].reverse(),
        measurements: [...(request.measurements ?? [])].reverse(),
      };
      const [here, there] = [await fullAnswer(request), await fullAnswer(reversed)];
      expect(there.decisionId).toBe(here.decisionId);
      expect(JSON.stringify(there)).toBe(JSON.stringify(here));
    }
  });

  test('of several observers, clips and measurements of one thing', async () => {
    const observations = (['A', 'B', 'C'] as const).flatMap((observer, i) => [
      { code: 'dropped-elbow-catch', side: 'left' as const, severity: i, observer, clip: `c${i}` },
      {
        code: 'hips-low',
        severity: 3 - i,
        certainty: 'sure' as const,
        observer,
        view: 'side-under' as const,
      },
    ]);
    const measurements = [
      { code: 'hip-depth', value: 6.1, certainty: 'likely' as const },
      { code: 'hip-depth', value: 0.3, certainty: 'sure' as const },
      { code: 'hip-depth', value: 11.7, certainty: 'unsure' as const },
    ];
    const record: AssessmentRequest = withoutLooks({
      swimmer: { level: 'intermediate' },
      observations,
      measurements,
    });
    const expected = JSON.stringify(await assess(record, ruleSet));
    for (let turn = 1; turn < observations.length; turn++) {
      const turned: AssessmentRequest = {
        ...record,
        observations: [...observations.slice(turn), ...observations.slice(0, turn)],
        measurements: [...measurements.slice(turn % 3), ...measurements.slice(0, turn % 3)],
      };
      expect(JSON.stringify(await assess(turned, ruleSet))).toBe(expected);
    }
  });

  test("but the coach's first focus stays the first", async () => {
    const focus = [{ cause: 'head-high-habit' }, { cause: 'breath-holding' }];
    const chosen = async (order: typeof focus) => {
      const answer = await fullAnswer(
        withoutLooks({ swimmer: { level: 'novice' }, coach: { focus: order } }),
      );
      return answer.focus.map((f) => f.cause);
    };
    expect(await chosen(focus)).toEqual(['head-high-habit', 'breath-holding']);
    expect(await chosen([...focus].reverse())).toEqual(['breath-holding', 'head-high-habit']);
  });
});

describe('the decision id', () => {
  test('is the same for the same question and another for another', async () => {
    const base: AssessmentRequest = withoutLooks({
      swimmer: { level: 'novice' },
      observations: [{ code: 'early-exit', side: 'both', severity: 2, certainty: 'sure' }],
    });
    const written: AssessmentRequest = {
      ...base,
      observations: (['right', 'left'] as const).map((side) => ({
        code: 'early-exit',
        side,
        severity: 2,
        certainty: 'sure',
      })),
    };
    const other: AssessmentRequest = { ...base, swimmer: { level: 'advanced' } };
    const id = async (r: AssessmentRequest) => (await assess(r, ruleSet)).decisionId;
    expect(await id(base)).toMatch(/^sha-256:[0-9a-f]{64}$/);
    expect(await id(written)).toBe(await id(base));
    expect(await id(other)).not.toBe(await id(base));
  });
});
