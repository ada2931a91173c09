/** Pairs of films in which nothing changed, and pairs in which something did, with errors of the stated size. */
import { expect, test } from 'vitest';
import { compare } from '../../src/compare/compare.ts';
import { ComparisonRequest } from '../../src/contract/comparison.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { seeded } from '../engine/slot-vectors.ts';

const PAIRS = 200;
/** Chance that a severity is read one step off, as often measured between trained judges. */
const MISREAD = 0.35;

/** Items with the true value before, one that a change of three limits leads to, and the error of one reading. */
const ITEMS = [
  { finding: 'hips-low', measurement: 'hip-depth', severity: 2, value: 10, better: 1, sd: 1 },
  { finding: 'head-held-high', measurement: 'neck-extension', severity: 2, value: 24, better: 6, sd: 2 },
  { finding: 'little-roll', measurement: 'shoulder-roll', severity: 2, value: 27, better: 45, sd: 2 },
] as const;

function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

function film(at: string, changed: boolean, random: () => number) {
  const misread = (severity: number): number => {
    const step = random() < MISREAD ? (random() < 0.5 ? -1 : 1) : 0;
    return Math.max(0, Math.min(3, severity + step));
  };
  return {
    at,
    request: {
      swimmer: { level: 'intermediate' },
      recording: { views: ['side-under', 'front-under'], paceSecondsPer100: 100 },
      observations: ITEMS.map((i) => ({
        code: i.finding,
        severity: misread(changed ? 0 : i.severity),
        certainty: 'sure',
        view: 'side-under',
        observer: 'A',
      })),
      measurements: ITEMS.map((i) => ({
        code: i.measurement,
        value: (changed ? i.better : i.value) + i.sd * normal(random),
        standardDeviation: i.sd,
      })),
    },
  };
}

async function shares(changed: boolean): Promise<{ alarmed: number; found: number }> {
  const random = seeded(changed ? 7 : 3);
  let items = 0;
  let alarmed = 0;
  let found = 0;
  for (let n = 0; n < PAIRS; n++) {
    const request = ComparisonRequest.parse({
      records: [film('2026-01-05T10:00:00Z', false, random), film('2026-02-16T10:00:00Z', changed, random)],
    });
    const answer = await compare(request, ruleSet);
    if ('stopped' in answer) throw new Error('no health sign was given');
    for (const change of answer.changes.filter((c) => c.kind === 'finding' || c.kind === 'measurement')) {
      items++;
      if (change.verdict === 'clear-change' || change.verdict === 'worse') alarmed++;
      if (
        change.verdict === 'clear-change' ||
        (change.verdict === 'possible-change' && change.direction === 'better')
      )
        found++;
    }
  }
  return { alarmed: alarmed / items, found: found / items };
}

test(`${PAIRS} pairs without a true change: at most 5 % of the items are called a clear change or worse`, async () => {
  expect((await shares(false)).alarmed).toBeLessThanOrEqual(0.05);
});

test(`${PAIRS} pairs with a change of three times the limit: at least 90 % of the items are found`, async () => {
  expect((await shares(true)).found).toBeGreaterThanOrEqual(0.9);
});
