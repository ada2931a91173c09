/** A session of the asked length: no minute too many, none missing. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { Session } from '../../src/contract/answer.ts';
import { LEVELS } from '../../src/contract/common.ts';
import { requests } from './arbitraries.ts';
import { fullAnswer, ruleSet } from './front-crawl.ts';

function expectMinutes(session: Session, asked: number): void {
  expect(session.minutes).toBe(asked);
  expect(session.blocks.reduce((sum, b) => sum + b.minutes, 0)).toBe(asked);
  for (const block of session.blocks) {
    expect(Number.isInteger(block.minutes)).toBe(true);
    expect(block.minutes).toBeGreaterThan(0);
    expect(block.items.length).toBeGreaterThan(0);
  }
}

describe.each(LEVELS)('%s', (level) => {
  test('the blocks of every length from 15 to 180 minutes add up', async () => {
    for (let sessionMinutes = 15; sessionMinutes <= 180; sessionMinutes++) {
      const options = { sessionMinutes, nextLooks: 0 };
      const { session } = await fullAnswer({ swimmer: { level }, options });
      expectMinutes(session, sessionMinutes);
    }
  });

  test('the blocks of a sore swimmer add up as well', async () => {
    const pain = [{ site: 'shoulder', score: 6 }];
    for (const sessionMinutes of [15, 16, 29, 30, 44, 45, 59, 61, 90, 119, 180]) {
      const options = { sessionMinutes, nextLooks: 0 };
      const { session } = await fullAnswer({ swimmer: { level }, health: { asked: true, pain }, options });
      expectMinutes(session, sessionMinutes);
    }
  });
});

describe('of any record', () => {
  test('the blocks add up, from a template of the level', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        expectMinutes(answer.session, request.options?.sessionMinutes ?? 45);
        const template = ruleSet.parts.sessions.find((s) => s.code === answer.session.template);
        expect(template?.level).toBe(request.swimmer.level);
      }),
      { numRuns: 60 },
    );
  });

  test('every chosen drill has its place in one block', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        const placed = answer.session.blocks.flatMap((b) => b.items).map((i) => i.drill);
        for (const { code } of answer.drills) expect(placed.filter((p) => p === code)).toEqual([code]);
      }),
      { numRuns: 40 },
    );
  });
});
