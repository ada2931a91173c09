/** Raw data are checked and then used; measuring is the costly part of both. */
import { beforeEach, expect, test, vi } from 'vitest';
import { toRecord } from '../../src/assess/record.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { measure } from '../../src/measure/measure.ts';
import { readBody } from '../../src/server/input.ts';
import { ruleSet } from './front-crawl.ts';
import { marksOf, STEADY } from './swimmer.ts';

vi.mock('../../src/measure/measure.ts', { spy: true });
beforeEach(() => {
  vi.mocked(measure).mockClear();
});

const body = { swimmer: { level: 'novice' }, raw: { events: marksOf(STEADY) } };

test('a request is measured once, for its check and its record', () => {
  const request = readBody(AssessmentRequest, body, ruleSet);
  const record = toRecord(request, ruleSet);
  expect(measure).toHaveBeenCalledTimes(1);
  expect(record.measurements.length).toBeGreaterThan(5);
});

test('another request with the same data is another', () => {
  const [a, b] = [1, 2].map(() => toRecord(readBody(AssessmentRequest, body, ruleSet), ruleSet));
  expect(measure).toHaveBeenCalledTimes(2);
  expect(a).toEqual(b);
});
