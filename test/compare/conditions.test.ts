/** What else changed between the films: named first, in words, and what it forbids to compare. */
import { describe, expect, test } from 'vitest';
import { changeOf, comparePair, type Shot } from './films.ts';

const shot = (recording: Shot['recording'], more: Shot = {}): Shot => ({
  seen: [{ severity: 2 }],
  measured: [
    { code: 'hip-depth', value: 12, standardDeviation: 1 },
    { code: 'ankle-point', side: 'left', value: 40, standardDeviation: 1 },
    { code: 'swim-speed', value: 1.1, standardDeviation: 0.01 },
  ],
  recording,
  ...more,
});
const codesBetween = async (before: Shot, after: Shot) =>
  (await comparePair(before, after)).conditions.map((c) => c.code);

describe('another pace', () => {
  test.each([
    ['seconds more than 3 % apart', { paceSecondsPer100: 100 }, { paceSecondsPer100: 96.9 }],
    [
      'another word',
      { pace: 'easy' as const, paceSecondsPer100: undefined },
      { pace: 'race' as const, paceSecondsPer100: undefined },
    ],
  ])('%s: nothing that was filmed is comparable, tests on land are', async (_, before, after) => {
    const answer = await comparePair(shot(before as never), shot(after as never));
    expect(answer.conditions[0]).toMatchObject({ code: 'pace', blocks: true });
    for (const [kind, code] of [
      ['finding', 'hips-low'],
      ['measurement', 'hip-depth'],
    ] as const) {
      expect(changeOf(answer, kind, code)).toMatchObject({
        verdict: 'not-comparable',
        because: { code: 'other-pace' },
      });
    }
    for (const c of answer.changes.filter((x) => x.kind === 'cause' || x.kind === 'efficiency'))
      expect(c.verdict).toBe('not-comparable');
    expect(changeOf(answer, 'measurement', 'ankle-point', 'left').verdict).toBe('no-change-seen');
  });

  test('exactly 3 % is the same pace', async () => {
    expect(await codesBetween(shot({ paceSecondsPer100: 100 }), shot({ paceSecondsPer100: 97 }))).toEqual([]);
  });

  test('a pace that nobody wrote down is named and forbids nothing', async () => {
    const answer = await comparePair(shot({ paceSecondsPer100: undefined } as never), shot({ pace: 'easy' }));
    expect(answer.conditions).toMatchObject([{ code: 'pace-unknown', blocks: false, before: 'not stated' }]);
    expect(changeOf(answer, 'finding', 'hips-low').verdict).toBe('no-change-seen');
  });

  test("a film at a pace that is not the swimmer's own is compared with no other", async () => {
    const answer = await comparePair(shot({}), shot({ flags: ['unusual-pace'] }));
    expect(answer.conditions[0]).toMatchObject({ code: 'unusual-pace', blocks: true });
    expect(changeOf(answer, 'finding', 'hips-low').because.code).toBe('unusual-pace');
  });
});

describe('speed', () => {
  const faster = (before: Shot['recording'], after: Shot['recording']) =>
    comparePair(shot(before), {
      ...shot(after),
      measured: [{ code: 'swim-speed', value: 1.2, standardDeviation: 0.01 }],
    });

  test('is compared at one effort, though the pace is another', async () => {
    const answer = await faster(
      { pace: 'easy', paceSecondsPer100: 100 },
      { pace: 'easy', paceSecondsPer100: 92 },
    );
    expect(changeOf(answer, 'measurement', 'swim-speed')).toMatchObject({
      verdict: 'possible-change',
      direction: 'better',
    });
    expect(changeOf(answer, 'finding', 'hips-low').verdict).toBe('not-comparable');
  });

  test.each([
    ['another effort', { pace: 'easy' as const }, { pace: 'race' as const }],
    [
      'another pace and an effort that nobody wrote down',
      { paceSecondsPer100: 100 },
      { paceSecondsPer100: 92 },
    ],
  ])('is not comparable with %s', async (_, before, after) => {
    expect(changeOf(await faster(before, after), 'measurement', 'swim-speed')).toMatchObject({
      verdict: 'not-comparable',
      because: { code: 'other-effort' },
    });
  });

  test('that rose while the stroke stayed is credited to fitness, and not where the stroke was not compared', async () => {
    const codes = async (answer: Awaited<ReturnType<typeof faster>>) => answer.messages.map((m) => m.code);
    const easy = { pace: 'easy' as const, paceSecondsPer100: 100 };
    expect(await codes(await faster(easy, easy))).toContain('speed-without-form');
    expect(await codes(await faster(easy, { ...easy, paceSecondsPer100: 92 }))).not.toContain(
      'speed-without-form',
    );
  });
});

describe('what differs is named in words, never in codes', () => {
  test('suit, judges, pool, level, views and quality', async () => {
    const { conditions, summary } = await comparePair(
      shot({ suit: 'swimwear', pool: { length: 25, unit: 'm' }, flags: ['surface-distortion'] }),
      shot(
        { suit: 'wetsuit', pool: null, views: ['side-under'] },
        { seen: [{ severity: 2, observer: 'B' }], swimmer: { level: 'advanced' } },
      ),
    );
    expect(conditions.map((c) => c.code)).toEqual(['views', 'suit', 'observer', 'flags', 'pool', 'level']);
    const words = JSON.stringify(conditions.map((c) => [c.before, c.after, c.text]));
    expect(words).toContain('swimwear before, a wetsuit after');
    expect(words).toContain('from the side under water');
    expect(words).not.toMatch(/side-under|front-under|surface-distortion|no-front-view/);
    expect(summary).toMatch(/^What else changed: the views; the suit; the judges;/);
  });

  test('nothing differs: nothing is named', async () => {
    expect(await codesBetween(shot({}), shot({}))).toEqual([]);
  });
});
