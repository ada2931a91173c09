/** Whatever passes the contract is answered: no exception, no number that is none, and the contract kept. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { EVENT_KINDS, SWIM_KINDS } from '../../src/contract/raw-data.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { measured } from './front-crawl.ts';

const event = fc.record(
  {
    arm: fc.constantFrom('left', 'right'),
    kind: fc.constantFrom(...EVENT_KINDS),
    frame: fc.integer({ min: 0, max: 400 }),
    metres: fc.integer({ min: -5, max: 60 }),
  },
  { requiredKeys: ['arm', 'kind', 'frame'] },
);
const length = fc
  .record({
    metres: fc.double({ min: 0.1, max: 200, noNaN: true }),
    seconds: fc.double({ min: 0.1, max: 400, noNaN: true }),
    armStrokes: fc.option(fc.integer({ min: 1, max: 200 }), { nil: undefined }),
    strokeRate: fc.option(fc.double({ min: 1, max: 300, noNaN: true }), { nil: undefined }),
    push: fc.option(fc.double({ min: 0, max: 0.99, noNaN: true }), { nil: undefined }),
  })
  .map(({ push, ...l }) => ({
    ...l,
    pushOffMetres: push === undefined ? undefined : Math.min(30, push * l.metres),
    pushOffSeconds: push === undefined ? undefined : Math.min(30, push * 0.9 * l.seconds),
  }));
const swim = fc.record({
  kind: fc.constantFrom(...SWIM_KINDS),
  metres: fc.constantFrom(25, 50, 100, 200, 400),
  seconds: fc.double({ min: 1, max: 900, noNaN: true }),
});
const raw = fc.record(
  {
    frameRate: fc.constantFrom(25, 50),
    events: fc.array(event, { maxLength: 40 }),
    lengths: fc.array(length, { maxLength: 6 }),
    timedSwims: fc.array(swim, { maxLength: 8 }),
    positions: fc.record({
      point: fc.constantFrom('hip', 'head'),
      samples: fc.array(
        fc.record({
          frame: fc.integer({ min: 0, max: 120 }),
          metres: fc.double({ min: -5, max: 30, noNaN: true }),
        }),
        { minLength: 2, maxLength: 130 },
      ),
    }),
    whatIf: fc.array(
      fc.record({
        change: fc.constantFrom('resistance', 'efficiency'),
        percent: fc.integer({ min: -60, max: 100 }),
      }),
      { maxLength: 3 },
    ),
    swimmer: fc.constant({ armLengthM: 0.7 }),
  },
  { requiredKeys: ['frameRate'] },
);

test('any valid data are answered with numbers and words', () => {
  fc.assert(
    fc.property(raw, (data) => {
      const answer = measured(data);
      for (const m of answer.measurements) {
        expect(Number.isFinite(m.value), m.code).toBe(true);
        expect(Number.isFinite(m.standardDeviation) && m.standardDeviation >= 0, m.code).toBe(true);
      }
      for (const w of answer.worth) expect(Number.isFinite(w.upToSecondsPer100.high)).toBe(true);
      for (const { text } of answer.messages) expect(text).not.toMatch(/NaN|undefined|Infinity|\{\w+\}|^$/);
      const request = { swimmer: { level: 'novice' }, measurements: answer.measurements };
      expect(AssessmentRequest.safeParse(request).error).toBeUndefined();
    }),
    { numRuns: 1500, seed: 12 },
  );
});
