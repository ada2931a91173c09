/** Where an answer names a body part or an aid in a sentence, it uses the words of the language file. */
import { describe, expect, test } from 'vitest';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { assessmentReport } from '../../src/report/assessment.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

const sore = { swimmer: { level: 'novice' }, options: { nextLooks: 0 } } as const;
const painAt = (site: string, score = 6) =>
  fullAnswer({ ...sore, health: { asked: true, pain: [{ site, score }] } });

describe('aids that a drill needs', () => {
  const { equipment } = ruleSet.texts.lists;

  test('are named in words in every worked case whose aids are not known', async () => {
    let named = 0;
    for (const { request } of workedCases) {
      const { equipment: _, ...swimmer } = request.swimmer;
      const answer = await fullAnswer(withoutLooks({ ...request, swimmer }));
      for (const drill of answer.drills.filter((d) => d.equipment.length > 0)) {
        const message = answer.messages.find(
          (m) => m.code === 'equipment-unknown' && m.about.code === drill.code,
        );
        const words = drill.equipment.map((code) => equipment[code]).join(', ');
        expect(message?.text).toContain(`needs one of: ${words}.`);
        named++;
      }
    }
    expect(named).toBeGreaterThan(0);
  });
});

describe('body parts that wait for a clinician', () => {
  test('are named in the summary and in the note of the session', async () => {
    const answer = await painAt('shoulder');
    expect(answer.status).toBe('refer');
    expect(answer.summary).toContain('nothing that loads the shoulder (left), the shoulder (right) until');
    expect(answer.session.note).toContain('no arm swimming that loads the shoulder.');
  });

  test('are words for the whole body as well', async () => {
    const answer = await fullAnswer({
      ...sore,
      health: { asked: true, conditions: ['heart-disease'], clinicianAgrees: false },
    });
    expect(answer.restrictions.map((r) => r.bodyPart)).toEqual(['whole-body']);
    expect(answer.summary).toContain('nothing that loads the whole body until');
    expect(answer.summary + answer.session.note).not.toContain('whole-body');
  });
});

describe('blocks of a session', () => {
  test('carry the words of their slot, and so does the report', async () => {
    const answer = await fullAnswer(withoutLooks({ swimmer: { level: 'intermediate' } }));
    const labels = answer.session.blocks.map((b) => b.label);
    expect(labels).toEqual(answer.session.blocks.map((b) => ruleSet.texts.lists.slots[b.slot]));
    const report = JSON.stringify(assessmentReport(answer, 'coach', undefined, ruleSet));
    for (const { minutes, label, slot } of answer.session.blocks) {
      expect(report).toContain(`${minutes} min, ${label}: `);
      expect(report).not.toContain(`${minutes} min, ${slot}:`);
    }
  });

  test('say something else where their words would bring in a drill that is ruled out', async () => {
    const textsOf = async (health: AssessmentRequest['health']) => {
      const { session } = await fullAnswer({
        ...sore,
        health,
        options: { ...sore.options, sessionMinutes: 60 },
      });
      return JSON.stringify(session.blocks);
    };
    expect(await textsOf({ asked: true })).toMatch(/on the back/);
    expect(
      await textsOf({ asked: true, conditions: ['pregnant'], pregnancyWeek: 26, clinicianAgrees: true }),
    ).not.toMatch(/on the back/);
  });
});
