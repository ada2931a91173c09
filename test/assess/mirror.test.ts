/**
 * Left and right are mirror images: swapping the sides of a record swaps the sides of its answer.
 *
 * Where two sides stand exactly level, a list has to name one of them first and a line with room for one side has to
 * name one of them. The order left, right decides, so these places are put in a fixed order, or their side is left
 * out, before the two answers are compared; the numbers beside them are always compared.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { AssessmentAnswer, Cause, FullAnswer, TrailLine } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { mirror, mirrorAnswer, requests } from './arbitraries.ts';
import { differences } from './differences.ts';
import { concluded, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

/** The loop stops when no line moves by more than 1e-9 dB; sums in the other order differ in the last digits. */
const TOLERANCE = 1e-8;

function sortedBy<T extends object>(list: readonly T[], ...fields: readonly (keyof T)[]): T[] {
  const key = (item: T): string => JSON.stringify(fields.map((f) => item[f] ?? null));
  return [...list].sort((a, b) => (key(a) < key(b) ? -1 : 1));
}

const isSided = (cause: string): boolean => ruleSet.causes.get(cause)?.sided ?? false;
const withoutSides = (text: string): string => text.replace(/ \((left|right)\)/g, '');

/** A line about an arm cause as driver or rival names the likelier arm, or the left one when they stand level. */
function levelLine(line: TrailLine): TrailLine {
  const nameless = line.kind === 'driver' && isSided(line.code ?? '');
  return {
    ...line,
    ...(nameless ? { side: 'body', text: withoutSides(line.text) } : {}),
    ...(line.conditions && { conditions: sortedBy(line.conditions, 'fact', 'operator', 'value') }),
    ...(line.explainedBy && {
      explainedBy: sortedBy(
        line.explainedBy.map((r) => (isSided(r.cause) ? { ...r, side: 'body' as const } : r)),
        'cause',
      ),
    }),
  };
}

const levelCause = (c: Cause): Cause => ({
  ...c,
  explains: sortedBy(c.explains, 'code', 'side'),
  drivenBy: sortedBy(c.drivenBy, 'cause', 'side'),
  trail: sortedBy(c.trail.map(levelLine), 'kind', 'rule', 'code', 'side'),
});

function level(answer: AssessmentAnswer): AssessmentAnswer {
  // the id names the question, and the mirrored question is another one
  const head = { ...answer, decisionId: '' };
  if (head.status === 'stop') return head;
  return {
    ...head,
    summary: withoutSides(head.summary),
    restrictions: sortedBy(head.restrictions, 'bodyPart', 'side'),
    findings: sortedBy(head.findings, 'code', 'side'),
    strengths: sortedBy(head.strengths, 'code', 'side'),
    causes: sortedBy(head.causes.map(levelCause), 'code', 'side'),
    mechanisms: sortedBy(head.mechanisms.map(levelCause), 'code', 'side'),
    drills: head.drills.map((d) => ({ ...d, for: sortedBy(d.for, 'cause', 'side') })),
    messages: sortedBy(head.messages, 'severity', 'code', 'text'),
    trail: {
      ...head.trail,
      rules: sortedBy(
        head.trail.rules.map((r) => ({
          ...r,
          conditions: sortedBy(r.conditions, 'fact', 'operator', 'value'),
        })),
        'stage',
        'id',
        'side',
      ),
    },
  };
}

async function mirrorFaults(request: AssessmentRequest): Promise<string[]> {
  const inMirror = await assess(mirror(request), ruleSet);
  const swapped = mirrorAnswer(await assess(request, ruleSet));
  // one wrong side shows in hundreds of numbers; the first few tell where
  return differences(level(inMirror), level(swapped), TOLERANCE).slice(0, 8);
}

/** Some finding speaks exactly as loudly on the left as on the right. */
async function standsLevel(request: AssessmentRequest): Promise<boolean> {
  const answer = await assess(request, ruleSet);
  if (answer.status === 'stop') return false;
  const { findings } = await concluded(request);
  return [...findings.values()].some(
    (f) => f.side === 'left' && findings.get(`${f.code}@right`)?.db === f.db,
  );
}

describe('the mirror', () => {
  test('a mirrored record mirrored again is the record itself', () => {
    fc.assert(
      fc.property(requests(), (request) => {
        expect(mirror(mirror(request))).toEqual(request);
      }),
    );
  });

  test('no side is lost: sided records change, records of the whole body do not', () => {
    const seen = { code: 'head-held-high', severity: 2 };
    const body: AssessmentRequest = { swimmer: { level: 'novice' }, observations: [seen] };
    const arm: AssessmentRequest = {
      swimmer: { level: 'novice' },
      observations: [{ code: 'early-exit', side: 'left', severity: 2 }],
    };
    expect(mirror(body)).toEqual(body);
    expect(mirror(arm).observations).toEqual([{ code: 'early-exit', side: 'right', severity: 2 }]);
  });
});

describe('left and right are mirror images', () => {
  test.each(workedCases.map((c) => [c.id, c.request] as const))('%s', async (_, request) => {
    expect(await mirrorFaults(withoutLooks(request))).toEqual([]);
  });

  test('random records in which the two arms differ', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        fc.pre(!(await standsLevel(request)));
        expect(await mirrorFaults(request)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  test('random records, also with both arms alike', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        expect(await mirrorFaults(request)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  test('the summary names the mirrored side where one arm stands out', async () => {
    for (const { request } of workedCases.filter((c) => ['case-02', 'case-05'].includes(c.id))) {
      const here = await assess(withoutLooks(request), ruleSet);
      const there = await assess(mirror(withoutLooks(request)), ruleSet);
      expect(here.summary).toMatch(/\((left|right)\)/);
      expect(there.summary).toBe(mirrorAnswer(here).summary);
    }
  });

  test('the next looks of mirrored records promise the same', async () => {
    for (const { request } of workedCases) {
      const promises = async (r: AssessmentRequest) =>
        ((await assess(r, ruleSet)) as FullAnswer).nextLooks.map(
          ({ code, view, bits, probability, wouldChangeAdvice }) => ({
            code,
            view,
            bits,
            probability,
            wouldChangeAdvice,
          }),
        );
      expect(differences(await promises(mirror(request)), await promises(request), TOLERANCE)).toEqual([]);
    }
  });
});
