/** An item over many films: its values in time order, and the slope of a measurement with its interval. */
import { describe, expect, test } from 'vitest';
import { compared, record, type Shot } from './films.ts';

const WEEKLY = ['05', '12', '19', '26'].map((day) => `2026-01-${day}T10:00:00Z`);
const depth = (value: number, more: Shot = {}): Shot => ({
  seen: [{ severity: 2 }],
  measured: [{ code: 'hip-depth', value }],
  ...more,
});
const trendsOf = async (shots: readonly Shot[]) =>
  (await compared({ records: shots.map((shot, i) => record(shot, WEEKLY[i] as string)) })).trends;
const trend = async (shots: readonly Shot[], code = 'hip-depth') => {
  const found = (await trendsOf(shots)).find((t) => t.code === code);
  if (found === undefined) throw new Error(`no trend of ${code}`);
  return found;
};

test('two films are a comparison and no trend', async () => {
  expect(await trendsOf([depth(14), depth(10)])).toEqual([]);
});

test('the slope is that of least squares, with the t-interval of a printed table', async () => {
  // y = 14, 11, 10, 7 at weeks 0 to 3: slope -2.2, residual SD sqrt(0.8/2), Sxx 5, t(2) = 4.303
  const { perWeek, direction, values } = await trend([depth(14), depth(11), depth(10), depth(7)]);
  expect(values.map((v) => v.value)).toEqual([14, 11, 10, 7]);
  expect(perWeek?.estimate).toBeCloseTo(-2.2, 10);
  const half = 4.303 * Math.sqrt(0.8 / 2 / 5);
  expect(perWeek?.low).toBeCloseTo(-2.2 - half, 3);
  expect(perWeek?.high).toBeCloseTo(-2.2 + half, 3);
  expect(direction).toBe('better');
});

describe('no direction', () => {
  test.each([
    ['where the slope may be none', [14, 9, 13, 10]],
    ['where all films together stay under the limit', [12, 11.5, 11, 10.5]],
  ])('%s', async (_, values) => {
    expect((await trend(values.map((v) => depth(v)))).direction).toBe('none');
  });
});

test('a film at another pace is shown and left out of the slope', async () => {
  const odd = depth(30, { recording: { paceSecondsPer100: 80 } });
  const { values, perWeek } = await trend([depth(14), odd, depth(10), depth(8)]);
  expect(values.map((v) => v.comparable)).toEqual([true, false, true, true]);
  expect(perWeek?.estimate).toBeCloseTo(-2, 1);
});

test('an item that a film does not hold is null there', async () => {
  const { values } = await trend([depth(14), { seen: [{ severity: 2 }] }, depth(10), depth(8)]);
  expect(values.map((v) => v.value)).toEqual([14, null, 10, 8]);
});

test('what was seen, causes and the arms have trends as well', async () => {
  const arm = (severity: 1 | 2 | 3): Shot => ({
    seen: [
      { severity },
      { code: 'dropped-elbow-catch', side: 'both', severity },
      { code: 'pull-crosses-midline', side: 'both', severity: 0, view: 'front-under' },
      { code: 'early-exit', side: 'both', severity: 0 },
    ],
  });
  const trends = await trendsOf([arm(3), arm(2), arm(1)]);
  const kinds = new Map(trends.map((t) => [t.kind, t] as const));
  expect([...kinds.keys()].sort()).toEqual(['cause', 'efficiency', 'finding']);
  expect(trends.find((t) => t.code === 'hips-low')?.values.map((v) => v.value)).toEqual([3, 2, 1]);
});

test('pain has a trend by place', async () => {
  const sore = (score: number): Shot => ({
    seen: [{ severity: 1 }],
    health: { asked: true, pain: score === 0 ? [] : [{ site: 'knee', side: 'right', score }] },
  });
  const found = await trend([sore(3), sore(2), sore(0)], 'pain');
  expect(found).toMatchObject({ site: 'knee', side: 'right', label: 'Pain in the knee' });
  expect(found.values.map((v) => v.value)).toEqual([3, 2, 0]);
});
