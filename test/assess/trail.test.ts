/** Every number can be re-done by hand from the lines beside it. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { Cause, Finding, TrailLine } from '../../src/contract/answer.ts';
import { requests } from './arbitraries.ts';
import { fullAnswer, ruleSet, withoutLooks, workedCases } from './front-crawl.ts';

const EXACT = 1e-9;
/** The loop stops when no line moves by more than 1e-9 dB, and the report of a mechanism is the sum of a few lines. */
const SETTLED = 1e-8;

const { words } = ruleSet.parts.constants;
// written out here once more, so that the answer is not checked with the code that made it
const decibans = (ratio: number): number => 10 * Math.log10(ratio);
const odds = (weightDb: number): number => 10 ** (weightDb / 10);
const logOdds = (p: number): number => decibans(p / (1 - p));
const weight = (reportDb: number, seenIfCause: number, background: number): number => {
  const lambda = odds(reportDb);
  return decibans((lambda * seenIfCause + 1 - seenIfCause) / (lambda * background + 1 - background));
};
const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);

function expectNear(actual: number, expected: number, tolerance: number, what: string): void {
  expect(Math.abs(actual - expected), `${what}: ${actual} is not ${expected}`).toBeLessThanOrEqual(tolerance);
}

type Required<K extends keyof TrailLine> = TrailLine & { [P in K]-?: NonNullable<TrailLine[P]> };
type ChildLine = Required<
  | 'reportDb'
  | 'leak'
  | 'background'
  | 'seenIfCause'
  | 'q'
  | 'certainDb'
  | 'aloneDb'
  | 'explainedDb'
  | 'groupFactor'
  | 'explainedBy'
  | 'shows'
>;

function expectSum(cause: Cause): void {
  expectNear(sum(cause.trail.map((l) => l.db)), cause.totalDb, EXACT, `${cause.code} total`);
  expectNear(cause.probability, 1 / (1 + 10 ** (-cause.totalDb / 10)), EXACT, `${cause.code} probability`);
}

function expectPriorAndDrivers(cause: Cause): void {
  const [prior, ...rest] = cause.trail as [Required<'probability'>, ...TrailLine[]];
  expect(prior.kind).toBe('prior');
  expectNear(prior.db, logOdds(prior.probability), EXACT, `${cause.code} prior`);
  let none = 1 - prior.probability;
  let before = prior.db;
  for (const line of rest.filter((l) => l.kind === 'driver') as Required<'q' | 'probability'>[]) {
    none *= 1 - line.q * line.probability;
    expectNear(line.db, logOdds(1 - none) - before, EXACT, `${cause.code} driven by ${line.code}`);
    before = logOdds(1 - none);
  }
}

function expectChildLine(line: ChildLine, what: string): void {
  const authored = words.shows[line.shows] as number;
  // a driver always adds two percent at least to what is there without it
  const shows = line.kind === 'mechanism' ? Math.max(authored, line.leak + 0.02) : authored;
  expectNear(line.q, (shows - line.leak) / (1 - line.leak), EXACT, `${what} q`);
  expectNear(line.certainDb, decibans(shows / line.leak), EXACT, `${what} certainDb`);
  expectNear(line.aloneDb, weight(line.reportDb, shows, line.leak), EXACT, `${what} aloneDb`);
  const noRival = line.explainedBy.reduce((none, r) => none * (1 - r.q * r.probabilityWithout), 1);
  expectNear(line.background, 1 - (1 - line.leak) * noRival, EXACT, `${what} background`);
  expectNear(line.seenIfCause, 1 - (1 - line.background) * (1 - line.q), EXACT, `${what} seenIfCause`);
  expectNear(
    line.explainedDb,
    weight(line.reportDb, line.seenIfCause, line.background),
    SETTLED,
    `${what} explainedDb`,
  );
  expectNear(line.db, line.explainedDb * line.groupFactor, EXACT, `${what} db`);
}

const signOf = new Map(ruleSet.parts.modifiers.map((m) => [m.id, m.event.params.sign]));

function expectFixedLine(line: Required<'weight' | 'groupFactor' | 'strength' | 'rule'>, what: string): void {
  const strength = words.strength[line.strength] as number;
  expectNear(
    line.db,
    (signOf.get(line.rule) as number) * line.weight * line.groupFactor * strength,
    EXACT,
    `${what} db`,
  );
}

function expectLines(cause: Cause): void {
  for (const line of cause.trail) {
    const what = `${cause.code}@${cause.side}: ${line.rule ?? line.kind}`;
    if (line.kind === 'finding' || line.kind === 'mechanism') expectChildLine(line as ChildLine, what);
    if (line.kind === 'clue' || line.kind === 'counter' || line.kind === 'meta')
      expectFixedLine(line as Required<'weight' | 'groupFactor' | 'strength' | 'rule'>, what);
    if (line.kind === 'limit')
      expect(Math.abs(cause.totalDb)).toBe(ruleSet.parts.constants.propagation.limitDb);
  }
}

function expectRedoable(cause: Cause): void {
  expectSum(cause);
  expectPriorAndDrivers(cause);
  expectLines(cause);
}

/** Of the reports that say the same, the weightiest counts whole, the next half, and so on. */
function expectReports(finding: Finding): void {
  const side = (sign: 1 | -1): number => {
    const sizes = finding.reports.map((r) => sign * r.db).filter((db) => db > 0);
    return sum(sizes.sort((a, b) => b - a).map((db, k) => db / 2 ** k));
  };
  const total = Math.max(-20, Math.min(20, side(1) - side(-1)));
  expectNear(finding.reportDb, total, EXACT, `${finding.code} reports`);
  for (const { db, bands, limitedByView, source } of finding.reports) {
    if (bands === undefined || limitedByView) continue;
    expectNear(db, sum(bands.map((b) => b.share * b.db)), EXACT, `${finding.code} by ${source}`);
    expectNear(sum(bands.map((b) => b.share)), 1, EXACT, `${finding.code} by ${source}, chances`);
  }
}

describe('the trail', () => {
  test.each(workedCases.map((c) => [c.id, c.request] as const))(
    'of %s can be re-done',
    async (_, request) => {
      const answer = await fullAnswer(withoutLooks(request));
      const kinds = new Set(answer.causes.flatMap((c) => c.trail.map((l) => l.kind)));
      expect([...kinds]).toEqual(expect.arrayContaining(['prior', 'finding']));
      for (const cause of [...answer.causes, ...answer.mechanisms]) expectRedoable(cause);
    },
  );

  test('of any record can be re-done', async () => {
    await fc.assert(
      fc.asyncProperty(requests(), async (request) => {
        const answer = await assess(request, ruleSet);
        if (answer.status === 'stop') return;
        for (const cause of [...answer.causes, ...answer.mechanisms]) expectRedoable(cause);
        for (const finding of answer.findings) expectReports(finding);
      }),
      { numRuns: 60 },
    );
  });

  test('that was re-done holds every kind of line', async () => {
    const records = [
      ...workedCases.map((c) => withoutLooks(c.request)),
      ...fc.sample(requests(), { numRuns: 80, seed: 1 }),
    ];
    const answers = await Promise.all(records.map((r) => assess(r, ruleSet)));
    const lines = answers.flatMap((a) =>
      a.status === 'stop' ? [] : [...a.causes, ...a.mechanisms].flatMap((c) => c.trail),
    );
    expect(new Set(lines.map((l) => l.kind))).toEqual(
      new Set(['prior', 'driver', 'clue', 'counter', 'meta', 'finding', 'mechanism', 'limit']),
    );
    expect(lines.some((l) => (l.groupFactor ?? 1) > 0 && (l.groupFactor ?? 1) < 1)).toBe(true);
    expect(lines.some((l) => (l.explainedBy ?? []).some((r) => r.probabilityWithout > 0.5))).toBe(true);
  });
});
