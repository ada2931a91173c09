/** Pain between two films: any rise counts at once, a fall from two points on, a new sign always. */
import { describe, expect, test } from 'vitest';
import { compare } from '../../src/compare/compare.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { changeOf, comparePair, pairOf, type Shot } from './films.ts';

const told = (score: number, features: string[] = [], site = 'shoulder'): Shot => ({
  seen: [{ severity: 1 }],
  health: { asked: true, pain: score === 0 ? [] : [{ site, side: 'left', score, features }] },
});
const measured = (value: number): Shot => ({
  seen: [{ severity: 1 }],
  measured: [{ code: 'pain', side: 'left', value }],
});
const pain = async (before: Shot, after: Shot, side = 'left') =>
  changeOf(await comparePair(before, after), 'measurement', 'pain', side);

describe.each([
  ['told in the health questions', told],
  ['written as a number', measured],
])('pain %s', (_, film) => {
  test.each([
    [1, 2, 'worse', 'worse'],
    [0, 1, 'worse', 'worse'],
    [3, 3, 'no-change-seen', 'none'],
    [3, 2, 'no-change-seen', 'none'],
    [3, 1, 'possible-change', 'better'],
    [2, 0, 'possible-change', 'better'],
  ])('%d to %d: %s', async (before, after, verdict, direction) => {
    expect(await pain(film(before), film(after))).toMatchObject({ verdict, direction });
  });
});

test('counts the same whichever way each film wrote it down', async () => {
  expect(await pain(told(1), measured(3))).toMatchObject({ before: 1, after: 3, verdict: 'worse' });
});

test('that fell but came with a new sign is worse', async () => {
  expect(await pain(told(3), told(1, ['at-night']))).toMatchObject({
    verdict: 'worse',
    because: { code: 'new-signs' },
  });
  expect((await pain(told(3, ['at-night']), told(1, ['at-night']))).verdict).toBe('possible-change');
});

test('is compared place by place, and named', async () => {
  const answer = await comparePair(told(1, [], 'knee'), told(2, [], 'shoulder'));
  const pains = answer.changes.filter((c) => c.code === 'pain');
  expect(pains.map((c) => [c.site, c.label, c.verdict])).toEqual([
    ['knee', 'Pain in the knee', 'no-change-seen'],
    ['shoulder', 'Pain in the shoulder', 'worse'],
  ]);
});

test('of the neck has no side', async () => {
  expect((await pain(told(1, [], 'neck'), told(2, [], 'neck'), 'body')).verdict).toBe('worse');
});

test('that one film did not ask about is not comparable', async () => {
  const silent: Shot = { seen: [{ severity: 1 }] };
  expect((await pain(told(2), silent)).because.code).toBe('one-film-only');
});

test('is told once: by its score, and not again as an observation', async () => {
  const { changes } = await comparePair(told(1), told(3));
  expect(changes.filter((c) => c.code === 'shoulder-pain-report')).toEqual([]);
});

describe('health comes first', () => {
  test('a sign in the last film leaves only the cautions', async () => {
    const request = pairOf(told(1), { ...told(1), health: { asked: true, signs: ['chest-pain'] } });
    const answer = await compare(request, ruleSet);
    expect(answer).toMatchObject({ status: 'stop', cautions: [{ class: 'stop-now' }] });
    expect(Object.keys(answer).sort()).toEqual(['cautions', 'from', 'ruleSet', 'status', 'summary', 'to']);
  });

  test('a sign in an earlier film names that film', async () => {
    const request = pairOf({ ...told(1), health: { asked: true, signs: ['chest-pain'] } }, told(1));
    expect(await compare(request, ruleSet)).toEqual({ stopped: 0 });
  });

  test('pain that refers is shown with what it rules out, and the focus on that arm is left', async () => {
    const answer = await comparePair(told(1), told(6), {
      between: [{ focus: { cause: 'no-forearm-set', side: 'left' }, sessions: 12 }],
    });
    expect(answer.status).toBe('refer');
    expect(answer.restrictions).toMatchObject([{ bodyPart: 'shoulder', side: 'left' }]);
    expect(answer.cautions.map((c) => c.code)).toContain('shoulder-red-flags');
    expect(answer.focus).toMatchObject([
      { advice: 'exchange', change: 'cause', because: { code: 'pain-first' } },
    ]);
  });
});
