import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify, stripVTControlCharacters } from 'node:util';
import type { FastifyInstance } from 'fastify';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { AssessmentAnswer, FullAnswer } from '../../src/contract/answer.ts';
import { start } from '../../src/server/start.ts';
import { type Example, readExampleFiles } from '../openapi/read-examples.ts';
import { QUIET } from '../settings.ts';
import { bar } from './bar.ts';
import { show } from './show.ts';
import { WIDTH } from './text.ts';

const examples = await readExampleFiles();
const named = (name: string): Example => {
  const found = examples.find((e) => e.name === name);
  if (found === undefined) throw new Error(`no example ${name}`);
  return found;
};

let app: FastifyInstance;
let url: string;
beforeAll(async () => {
  ({ app, url } = await start(QUIET));
});
afterAll(() => app.close());

async function printed(...chosen: Example[]): Promise<{ text: string; failed: number }> {
  const out: string[] = [];
  const failed = await show(url, chosen, (text) => out.push(text));
  return { text: stripVTControlCharacters(out.join('\n')), failed };
}

async function answerTo({ request }: Example): Promise<AssessmentAnswer> {
  return (await app.inject({ method: 'POST', url: '/v1/assessments', payload: request })).json();
}

/** Line breaks and hanging indents taken out again. */
const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe('an answer as it is printed', () => {
  test('holds what a coach needs: who, summary, causes, arms, focus, drills, session, looks', async () => {
    const example = named('one-weak-arm');
    const answer = (await answerTo(example)) as FullAnswer;
    const { text } = await printed(example);
    const all = flat(text);
    expect(all).toContain(`${example.summary} EX-3 (invented)`);
    expect(all).toContain(answer.summary);
    const [cause] = answer.causes;
    const low = Math.round((cause?.range.low ?? 0) * 100);
    const high = Math.round((cause?.range.high ?? 0) * 100);
    expect(all).toContain(
      `${Math.round((cause?.probability ?? 0) * 100)} % ${cause?.probabilityWord}, ${low} to ${high} %`,
    );
    const heaviest = [...(cause?.trail ?? [])].sort((a, b) => Math.abs(b.db) - Math.abs(a.db))[0];
    expect(all).toContain(`${heaviest?.db.toFixed(1)} dB ${heaviest?.text}`);
    for (const side of ['left', 'right'] as const) {
      const whole = answer.efficiency[side].arm;
      if (whole.status !== 'scored') throw new Error('both arms of this record have a number');
      expect(all).toContain(`${whole.estimate} % (${whole.low} to ${whole.high})`);
    }
    for (const f of answer.focus) expect(all).toContain(f.label);
    for (const d of answer.drills) {
      expect(all).toContain(`${d.name}: ${d.dose}`);
      expect(all).toContain(`“${d.cues[0]}”`);
    }
    for (const b of answer.session.blocks) expect(all).toContain(`${b.minutes} min ${b.slot}`);
    for (const l of answer.nextLooks) expect(all).toContain(`${l.bits.toFixed(2)} bits ${l.label}`);
  });

  test('says why there is no number', async () => {
    const { text } = await printed(named('film-from-the-deck'));
    expect(text).toContain('no number: The catch was not filmed from a view that shows it.');
  });

  test.each([
    ['chest-sign', 'STOP'],
    ['painful-shoulder', 'REFER'],
    ['film-from-the-deck', 'ASK MORE'],
  ])('%s: "%s" comes before the summary and the causes', async (name, word) => {
    const example = named(name);
    const { summary } = await answerTo(example);
    const all = flat((await printed(example)).text);
    expect(all).toContain(word);
    expect(all.indexOf(word)).toBeLessThan(all.indexOf(summary));
    expect(all.includes('CAUSES')).toBe(name !== 'chest-sign');
  });

  test('shows what the coach refused and does not share', async () => {
    const all = flat((await printed(named('coach-decides'))).text);
    expect(all).toContain('refused by the coach: Thumb brushes the thigh');
    expect(all).toContain('The coach does not share this:');
    expect(all).toContain("the coach's own choice");
  });

  test('fits a terminal of 100 columns', async () => {
    const { text, failed } = await printed(...examples);
    expect(failed).toBe(0);
    expect(text.split('\n').filter((line) => line.length > WIDTH)).toEqual([]);
  });
});

test('a record that is not answered with 200 is counted and shown', async () => {
  const broken = { ...named('high-head'), request: { swimmer: { level: 'fish' } } } as unknown as Example;
  const { text, failed } = await printed(broken, named('chest-sign'));
  expect(failed).toBe(1);
  expect(text).toContain('high-head: HTTP 400');
  expect(text).toContain('/swimmer/level');
});

test('a bar fills to the low end, the estimate and the high end', () => {
  expect(bar({ low: 0.2, at: 0.5, high: 0.8 }, 10)).toBe('██▓▓▓░░░··');
  expect(bar({ low: 0, at: 0, high: 0 }, 4)).toBe('····');
  expect(bar({ low: 1, at: 1, high: 1 }, 4)).toBe('████');
});

describe('the program', () => {
  const run = (...names: string[]) =>
    promisify(execFile)(process.execPath, [fileURLToPath(new URL('demo.ts', import.meta.url)), ...names]);

  test('prints the named examples and ends well', async () => {
    const { stdout } = await run('chest-sign', '7');
    expect(stdout).toContain('Pressure on the chest: stop');
    expect(stdout).toContain('A sound stroke: nothing to fix');
    expect(stdout).not.toContain('EX-1 ');
    expect(stdout).toContain('2 of 2 records answered');
  });

  test('fails on a name that is no example, and lists the names', async () => {
    await expect(run('no-such-swimmer')).rejects.toMatchObject({
      code: 1,
      stderr: expect.stringContaining('high-head'),
    });
  });
});
