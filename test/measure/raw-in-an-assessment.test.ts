/** `raw` inside an assessment gives the assessment that its measurements would give. */
import { readdir, readFile } from 'node:fs/promises';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { FullAnswer } from '../../src/contract/answer.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { measured, ruleSet } from './front-crawl.ts';
import { marksOf, STEADY } from './swimmer.ts';

const FOLDER = new URL('../../openapi/examples/measure/', import.meta.url);
const files = (await readdir(FOLDER)).sort();
const examples = await Promise.all(
  files.map(
    async (file) => [file, JSON.parse(await readFile(new URL(file, FOLDER), 'utf8')).request] as const,
  ),
);

const BASE = {
  swimmer: { level: 'intermediate' },
  health: { asked: true },
  recording: { views: ['side-under', 'front-under'], cycles: 4, pace: 'steady' },
  observations: [
    { code: 'hips-low', severity: 2, certainty: 'sure', view: 'side-under' },
    { code: 'dropped-elbow-catch', side: 'left', severity: 2, certainty: 'likely', view: 'side-under' },
  ],
  measurements: [{ code: 'kick-25-time', value: 62, certainty: 'sure' }],
} as const;

const uneven = {
  events: marksOf({ ...STEADY, left: { pullStart: 0.1, midPull: 0.3, exit: 0.5 } }),
};

/** One call and two, as they are sent. */
async function bothWays(raw: object): Promise<{ inside: FullAnswer; pasted: FullAnswer }> {
  const { measurements } = JSON.parse(JSON.stringify(measured(raw)));
  const two = { ...BASE, measurements: [...BASE.measurements, ...measurements] };
  const [inside, pasted] = await Promise.all(
    [{ ...BASE, raw }, two].map((request) => assess(AssessmentRequest.parse(request), ruleSet)),
  );
  return { inside: inside as FullAnswer, pasted: pasted as FullAnswer };
}

/** But for what says where it came from, the two are the same to the byte. */
async function expectSame(raw: object): Promise<void> {
  const { inside, pasted } = await bothWays(raw);
  const { messages, measured: block, ...rest } = inside;
  const { messages: others, ...same } = pasted;
  expect(JSON.stringify(rest)).toBe(JSON.stringify(same));
  // what measuring had to say comes on top, what it came out as stands beside it, and nothing is lost
  const { messages: told, ...outcome } = measured(raw);
  expect(messages).toEqual(expect.arrayContaining([...others, ...told]));
  expect(messages).toHaveLength(others.length + told.length);
  expect(block).toEqual(outcome);
  expect('measured' in pasted).toBe(false);
}

describe('in one call or in two', () => {
  test.each([...examples, ['marks of an uneven stroke', uneven] as const])('%s', async (_, raw) => {
    await expectSame(raw);
  });

  test('any choice of the kinds of raw data', async () => {
    const all = examples.find(([file]) => file.includes('all-together'))?.[1] as Record<string, unknown>;
    const kinds = ['events', 'lengths', 'timedSwims', 'positions', 'landmarks', 'whatIf', 'swimmer'];
    const { frameRate } = all;
    await fc.assert(
      fc.asyncProperty(fc.subarray(kinds.filter((k) => k in all)), async (chosen) => {
        await expectSame({ frameRate, ...Object.fromEntries(chosen.map((k) => [k, all[k]])) });
      }),
      { numRuns: 12 },
    );
  });
});

test('it counts: the shorter arm becomes a finding of that arm', async () => {
  const answer = await assess(AssessmentRequest.parse({ ...BASE, raw: uneven }), ruleSet);
  if (answer.status === 'stop') throw new Error('stopped');
  const finding = answer.findings.find((f) => f.code === 'one-arm-shorter');
  expect(finding).toMatchObject({ side: 'left', status: 'present', from: ['measured'] });
  const without = await assess(AssessmentRequest.parse(BASE), ruleSet);
  if (without.status === 'stop') throw new Error('stopped');
  expect(without.findings.some((f) => f.code === 'one-arm-shorter')).toBe(false);
});

test('an empty block is no block', async () => {
  const empty = await assess(AssessmentRequest.parse({ ...BASE, raw: {} }), ruleSet);
  const none = await assess(AssessmentRequest.parse(BASE), ruleSet);
  expect(empty.decisionId).toBe(none.decisionId);
});

test('a stop says nothing of the measurements', async () => {
  const health = { asked: true, signs: ['chest-pain'] };
  const answer = await assess(AssessmentRequest.parse({ ...BASE, health, raw: uneven }), ruleSet);
  expect(answer.status).toBe('stop');
  expect(answer.messages).toEqual([]);
});

test('what a change can be worth is said inside the assessment too, with its text', async () => {
  const raw = { whatIf: [{ change: 'resistance', percent: -5, paceSecondsPer100: 100 }] };
  const { inside } = await bothWays(raw);
  expect(inside.measured?.worth).toHaveLength(1);
  expect(inside.measured?.worth[0]?.text).toContain('up to');
});
