/** Repeats: pair by pair where they carry one clip, as two groups where not. */
import { describe, expect, test } from 'vitest';
import { changeOf, comparePair } from './films.ts';

const CLIPS = ['a', 'b', 'c', 'd'];
const film = (values: readonly number[], clips: readonly string[] | null = CLIPS, code = 'hip-depth') => ({
  recording: { clips: CLIPS.map((id) => ({ id, view: 'side-under' as const })) },
  measured: values.map((value, i) => ({
    code,
    value,
    ...(clips === null ? {} : { clip: clips[i] as string }),
  })),
});

describe('repeats of one clip', () => {
  test('are compared pair by pair: what differs between clips does not count', async () => {
    // four paces, each 4 cm better, though the paces are 10 cm apart
    const answer = await comparePair(film([10, 20, 30, 40]), film([6, 16.2, 25.8, 36]));
    const change = changeOf(answer, 'measurement', 'hip-depth');
    expect(change.statistics).toMatchObject({ method: 'paired', pairs: 4, freedom: 3 });
    expect(change.statistics?.difference).toBeCloseTo(-4, 10);
    expect(change.smallestBelievable).toBe(3);
    // the limit is one witness, the interval of the repeats the other
    expect(change.verdict).toBe('clear-change');
  });

  test('without their clips scatter too much to be believed', async () => {
    const answer = await comparePair(film([10, 20, 30, 40], null), film([6, 16.2, 25.8, 36], null));
    const change = changeOf(answer, 'measurement', 'hip-depth');
    expect(change.statistics?.method).toBe('unpaired');
    expect(change.smallestBelievable).toBeGreaterThan(20);
    expect(change.verdict).toBe('no-change-seen');
  });

  test('that have no partner are left out, and the answer says so', async () => {
    const answer = await comparePair(film([10, 20, 30, 90]), film([6, 16.2, 25.8]));
    const change = changeOf(answer, 'measurement', 'hip-depth');
    expect(change.statistics?.count).toEqual({ before: 3, after: 3, withoutPartner: 1 });
    expect(change.before).toBeCloseTo(20, 10);
    expect(answer.messages.map((m) => m.code)).toContain('repeats-without-partner');
  });
});

describe('repeats without clips', () => {
  test('are two groups with a t-interval, which few of them make wide', async () => {
    const answer = await comparePair(film([12, 12.4, 11.6], null), film([8, 8.4, 7.6], null));
    const { statistics, verdict } = changeOf(answer, 'measurement', 'hip-depth');
    // standard error 0.4 * sqrt(2/3), t(4) = 2.776 from a printed table
    expect(statistics?.freedom).toBe(4);
    expect((statistics?.high ?? 0) - (statistics?.difference ?? 0)).toBeCloseTo(
      2.776 * 0.4 * Math.sqrt(2 / 3),
      3,
    );
    expect(verdict).toBe('clear-change');
  });

  test('two of them say nothing about their scatter', async () => {
    const answer = await comparePair(film([12, 12.1], null), film([8, 8.1], null));
    const change = changeOf(answer, 'measurement', 'hip-depth');
    expect(change.statistics).toBeUndefined();
    expect(change.verdict).toBe('possible-change');
  });

  test('are one witness only where there is no other measure of size', async () => {
    const answer = await comparePair(
      film([60, 61, 59], null, 'knee-bend'),
      film([40, 41, 39], null, 'knee-bend'),
    );
    expect(changeOf(answer, 'measurement', 'knee-bend').verdict).toBe('possible-change');
  });

  test('that are all alike and did not move are no change', async () => {
    const answer = await comparePair(
      film([60, 60, 60], null, 'knee-bend'),
      film([60, 60, 60], null, 'knee-bend'),
    );
    expect(changeOf(answer, 'measurement', 'knee-bend').verdict).toBe('no-change-seen');
  });
});
