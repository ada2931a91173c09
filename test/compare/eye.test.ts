/** What the eye may call a change: whole steps, one view, one judge; and when a second witness makes it clear. */
import { describe, expect, test } from 'vitest';
import { changeOf, comparePair, type Shot } from './films.ts';

const hips = async (before: Shot, after: Shot) =>
  changeOf(await comparePair(before, after), 'finding', 'hips-low');
const depth = (value: number) => [{ code: 'hip-depth', value, standardDeviation: 1 }];
const look = (severity: 0 | 1 | 2 | 3, more: object = {}) => ({ severity, ...more });

describe('one witness', () => {
  test.each([
    [2, 2, 'no-change-seen', 'none'],
    [2, 1, 'possible-change', 'better'],
    [1, 2, 'possible-change', 'worse'],
    [3, 0, 'possible-change', 'better'],
  ] as const)('severity %d to %d by one judge: %s, %s', async (before, after, verdict, direction) => {
    const change = await hips({ seen: [look(before)] }, { seen: [look(after)] });
    expect(change).toMatchObject({ verdict, direction, smallestBelievable: 1 });
  });

  test.each([
    [2, 1, 'no-change-seen'],
    [3, 1, 'possible-change'],
  ] as const)('severity %d to %d between two judges: %s', async (before, after, verdict) => {
    const change = await hips({ seen: [look(before)] }, { seen: [look(after, { observer: 'B' })] });
    expect(change).toMatchObject({ verdict, smallestBelievable: 2 });
  });

  test('a step that not all judged cycles show is none', async () => {
    const before = { seen: [look(3, { atSeconds: 1 }), look(2, { atSeconds: 4 })] };
    const after = { seen: [look(2, { atSeconds: 1 }), look(1, { atSeconds: 4 })] };
    expect((await hips(before, after)).verdict).toBe('no-change-seen');
    const all = { seen: [look(1, { atSeconds: 1 }), look(1, { atSeconds: 4 })] };
    expect((await hips(before, all)).verdict).toBe('possible-change');
  });

  test('two judges of one view who see different things have seen no change', async () => {
    const before = { seen: [look(3), look(2, { observer: 'B' })] };
    const after = { seen: [look(2), look(2, { observer: 'B' })] };
    expect((await hips(before, after)).verdict).toBe('no-change-seen');
  });

  test('a good sign gets better by being seen more', async () => {
    const film = (severity: 1 | 3) => ({ seen: [{ code: 'body-level', severity }] });
    const change = changeOf(await comparePair(film(1), film(3)), 'finding', 'body-level');
    expect(change).toMatchObject({ verdict: 'possible-change', direction: 'better' });
  });
});

describe('two witnesses', () => {
  test.each([
    ['better', [3, 1], [14, 4], 'clear-change'],
    ['worse', [1, 3], [5, 14], 'worse'],
  ] as const)('the eye and the number, both %s', async (_, [x, y], [a, b], verdict) => {
    const answer = await comparePair(
      { seen: [look(x)], measured: depth(a) },
      { seen: [look(y)], measured: depth(b) },
    );
    expect(changeOf(answer, 'finding', 'hips-low').verdict).toBe(verdict);
    expect(changeOf(answer, 'measurement', 'hip-depth').verdict).toBe(verdict);
  });

  test('two views', async () => {
    const both = (side: 0 | 1 | 2 | 3, rear: 0 | 1 | 2 | 3) => ({
      seen: [look(side), look(rear, { view: 'rear' })],
    });
    expect((await hips(both(2, 3), both(1, 2))).verdict).toBe('clear-change');
    expect((await hips(both(1, 2), both(2, 3))).verdict).toBe('worse');
    expect((await hips(both(2, 3), both(1, 3))).verdict).toBe('possible-change');
  });

  test('two judges of one view are one witness', async () => {
    const both = (severity: 1 | 2) => ({ seen: [look(severity), look(severity, { observer: 'B' })] });
    expect((await hips(both(2), both(1))).verdict).toBe('possible-change');
  });

  test('the number against the eye leaves each with one witness', async () => {
    const answer = await comparePair(
      { seen: [look(3)], measured: depth(5) },
      { seen: [look(1)], measured: depth(14) },
    );
    expect(changeOf(answer, 'finding', 'hips-low')).toMatchObject({
      verdict: 'possible-change',
      direction: 'better',
    });
    expect(changeOf(answer, 'measurement', 'hip-depth')).toMatchObject({
      verdict: 'possible-change',
      direction: 'worse',
    });
  });

  test('views that contradict each other have seen no change', async () => {
    const before = { seen: [look(1), look(3, { view: 'rear' })] };
    const after = { seen: [look(2), look(1, { view: 'rear' })] };
    expect(await hips(before, after)).toMatchObject({
      verdict: 'no-change-seen',
      because: { code: 'views-disagree' },
    });
  });
});

describe('not comparable', () => {
  test('only the view that both films share is compared', async () => {
    const before = { seen: [look(1), look(3, { view: 'rear' })] };
    const after = { seen: [look(1)] };
    expect((await hips(before, after)).verdict).toBe('no-change-seen');
  });

  test.each([
    ['another view', { seen: [look(3)] }, { seen: [look(1, { view: 'rear' })] }, 'other-view'],
    ['one film only', { seen: [look(3)] }, { seen: [look(1, { code: 'legs-low' })] }, 'one-film-only'],
    [
      'a flaw of one film that limits it',
      { seen: [look(3, { code: 'entry-too-wide', side: 'left', view: 'front-under' })] },
      {
        seen: [look(1, { code: 'entry-too-wide', side: 'left', view: 'front-under' })],
        recording: { flags: ['camera-oblique'] },
      },
      'other-film-quality',
    ],
  ])('%s', async (_, before: Shot, after: Shot, why) => {
    const { changes } = await comparePair(before, after);
    const finding = changes.find((c) => c.kind === 'finding');
    expect(finding).toMatchObject({ verdict: 'not-comparable', because: { code: why } });
  });

  test('a number from another view', async () => {
    const film = (view: 'rear' | 'front-under', value: number) => ({
      measured: [{ code: 'shoulder-roll', side: 'left' as const, value, view }],
    });
    const change = changeOf(
      await comparePair(film('rear', 30), film('front-under', 45)),
      'measurement',
      'shoulder-roll',
      'left',
    );
    expect(change).toMatchObject({ verdict: 'not-comparable', because: { code: 'other-view' } });
  });
});

test('a view that nobody named is not held to be another one', async () => {
  const { view: _, ...bare } = { view: 0, severity: 3 as const };
  const change = await hips({ seen: [{ ...bare, view: undefined as never }] }, { seen: [look(1)] });
  expect(change.verdict).toBe('possible-change');
});
