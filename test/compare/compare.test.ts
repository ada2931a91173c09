/** What changed between two films: the examples, and promises that hold for every comparison. */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import {
  type ComparisonRequest,
  type FullComparison,
  FullComparison as Shape,
} from '../../src/contract/comparison.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { mirror } from '../assess/mirror.ts';
import { changeOf, compared, comparePair } from './films.ts';

const FOLDER = new URL('../../openapi/examples/compare/', import.meta.url);
const files = (await readdir(FOLDER)).sort();

const verdictOf = (answer: FullComparison, key: string): string | undefined => {
  const [kind, code] = key.split(':');
  return answer.changes.find((c) => c.kind === kind && c.code === code)?.verdict;
};

describe.each(files)('the example %s', async (file) => {
  const { request, expect: expected, invented } = JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'));
  const answer = await compared(request);

  test('is marked invented and answers in the shape of the contract', () => {
    expect(invented).toBe(true);
    expect(Shape.safeParse(answer).error).toBeUndefined();
  });

  test('gets the expected verdicts', () => {
    for (const [key, verdict] of Object.entries(expected.verdicts))
      expect(verdictOf(answer, key), key).toBe(verdict);
    if (expected.focus !== undefined) expect(answer.focus[0]?.advice).toBe(expected.focus);
  });

  test('has no single figure of improvement', () => {
    expect(JSON.stringify(answer)).not.toMatch(/improvement|percent better|% better/i);
  });

  test('is the same in any order of its lists, and twice', async () => {
    const turned = structuredClone(request) as ComparisonRequest;
    for (const { request: r } of turned.records) {
      r.observations?.reverse();
      r.measurements?.reverse();
    }
    turned.between?.reverse();
    expect(JSON.stringify(await compared(turned))).toBe(JSON.stringify(answer));
  });

  test('in a mirror is the mirror image', async () => {
    const swapped = await compared(mirror(request as AssessmentRequest));
    const key = (c: FullComparison['changes'][number], turn: boolean): string => {
      const side = !turn ? c.side : c.side === 'left' ? 'right' : c.side === 'right' ? 'left' : c.side;
      return [c.kind, c.code, side, c.verdict, c.direction, c.before, c.after].join(' ');
    };
    expect(swapped.changes.map((c) => key(c, true)).sort()).toEqual(
      answer.changes.map((c) => key(c, false)).sort(),
    );
  });

  test('against itself shows no change', async () => {
    const [first] = (request as ComparisonRequest).records;
    const { changes } = await compared({ records: [first, { ...first, at: '2027-01-01T00:00:00Z' }] });
    expect(new Set(changes.map((c) => c.verdict))).toEqual(new Set(['no-change-seen']));
  });
});

describe('causes and efficiency', () => {
  const elbows = (severity: 0 | 1 | 2 | 3, more: object[] = []) => ({
    seen: [
      { code: 'dropped-elbow-catch', side: 'both' as const, severity },
      {
        code: 'pull-crosses-midline',
        side: 'both' as const,
        severity: 0 as const,
        view: 'front-under' as const,
      },
      { code: 'early-exit', side: 'both' as const, severity: 0 as const },
      ...more,
    ],
    measured: (['left', 'right'] as const).map((side) => ({
      code: 'elbow-drop',
      side,
      value: severity * 4,
      standardDeviation: 0.5,
    })),
  });

  test('a number that a changed severity explains is a change', async () => {
    const answer = await comparePair(elbows(3), elbows(0));
    for (const side of ['left', 'right'])
      expect(changeOf(answer, 'efficiency', 'catch', side)).toMatchObject({
        verdict: 'clear-change',
        direction: 'better',
        smallestBelievable: 10,
      });
  });

  test('a number that moved by itself is none', async () => {
    // the second film looked at more, and nothing that both looked at changed
    const more = [{ code: 'no-effective-catch', side: 'both', severity: 3 }];
    const answer = await comparePair(elbows(1), elbows(1, more));
    const change = changeOf(answer, 'efficiency', 'catch', 'left');
    expect((change.before ?? 0) - (change.after ?? 0)).toBeGreaterThanOrEqual(10);
    expect(change).toMatchObject({ verdict: 'no-change-seen', because: { code: 'not-explained' } });
  });

  test('from other views is not comparable', async () => {
    const after = { ...elbows(0), recording: { views: ['side-under' as const, 'front-under' as const] } };
    const answer = await comparePair(elbows(3), after);
    expect(changeOf(answer, 'efficiency', 'catch', 'left').because.code).toBe('other-view');
  });

  test('a cause about which the films looked at nothing in common is not comparable', async () => {
    const answer = await comparePair(elbows(2), { seen: [{ code: 'head-held-high', severity: 3 }] });
    const causes = answer.changes.filter((c) => c.kind === 'cause');
    expect(causes.length).toBeGreaterThan(0);
    for (const c of causes) expect(c.verdict).toBe('not-comparable');
  });
});
