/**
 * Pairs of films in which nothing changed, and pairs in which something did. Errors of the stated size: a severity is
 * read one step off with a chance of 0.35, a number with its standard deviation; where a record states none, with the
 * error that makes its limit the smallest real change, limit / (1.96 * root 2).
 */
import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, test } from 'vitest';
import type { Change } from '../../src/contract/comparison.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { ruleSet } from '../assess/front-crawl.ts';
import { type Random, random } from '../forward-model/random.ts';
import { compared, FIRST, SECOND } from './films.ts';

const PAIRS = 200;
const MISREAD = 0.35;
const FOLDER = new URL('../../openapi/examples/assess/', import.meta.url);

type Severity = 0 | 1 | 2 | 3;
type Measured = NonNullable<AssessmentRequest['measurements']>[number];

const examples = await Promise.all(
  (await readdir(FOLDER))
    .sort()
    .map(async (file) => JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'))),
);
const swimmers: AssessmentRequest[] = examples
  .filter((e) => e.expect.status !== 'stop')
  .map((e) => e.request);

function limitOf({ code, value }: Measured): number {
  const limit = ruleSet.parts['change-limits'].find((l) => l.code === code);
  // where the rule set has no limit, a tenth of the value
  if (limit === undefined) return Math.abs(value) / 10;
  return Math.max(limit.units ?? 0, ((limit.percent ?? 0) / 100) * Math.abs(value));
}

const errorOf = (m: Measured): number =>
  m.standardDeviation ?? Math.max(0.1, limitOf(m)) / (1.96 * Math.SQRT2);

function misread(severity: number, r: Random): Severity {
  const u = r.between(0, 1);
  const step = u < MISREAD / 2 ? -1 : u < MISREAD ? 1 : 0;
  return Math.max(0, Math.min(3, severity + step)) as Severity;
}

interface Style {
  /** Every finding is judged from each view that shows it and was filmed. */
  readonly everyView: boolean;
  readonly repeats: number;
}

function filmed(swimmer: AssessmentRequest, at: string, r: Random, style: Style) {
  const views = swimmer.recording?.views ?? [];
  return {
    at,
    request: {
      ...swimmer,
      observations: (swimmer.observations ?? []).flatMap((o) => {
        const shows = ruleSet.observations.get(o.code)?.views ?? [];
        const more = style.everyView ? shows.filter((v) => v !== o.view && views.includes(v)) : [];
        return [o.view, ...more].map((view) => ({
          ...o,
          ...(view === undefined ? {} : { view }),
          severity: misread(o.severity, r),
        }));
      }),
      measurements: (swimmer.measurements ?? []).flatMap((m) =>
        Array.from({ length: style.repeats }, () => {
          const standardDeviation = errorOf(m);
          return { ...m, value: m.value + r.normal(standardDeviation), standardDeviation };
        }),
      ),
    },
  };
}

const alarms = (changes: readonly Change[]): number =>
  changes.filter((c) => c.verdict === 'clear-change' || c.verdict === 'worse').length;

describe(`${PAIRS} pairs without a true change`, () => {
  test.each([
    ['one look and one value', { everyView: false, repeats: 1 }],
    ['every view and four repeats', { everyView: true, repeats: 4 }],
  ])('%s: at most 5 % of the items of each kind are called a clear change or worse', async (_, style) => {
    const all: Change[] = [];
    for (let n = 0; n < PAIRS; n++) {
      const swimmer = swimmers[n % swimmers.length] as AssessmentRequest;
      const r = random(n + 1);
      const records = [filmed(swimmer, FIRST, r, style), filmed(swimmer, SECOND, r, style)];
      all.push(...(await compared({ records })).changes);
    }
    for (const kind of ['finding', 'measurement', 'cause', 'efficiency'] as const) {
      const own = all.filter((c) => c.kind === kind);
      expect(own.length).toBeGreaterThan(PAIRS);
      expect(alarms(own) / own.length, kind).toBeLessThanOrEqual(0.05);
    }
    expect(alarms(all) / all.length).toBeLessThanOrEqual(0.05);
  });
});

/** Items with the true values before and after: three full steps, and three times the limit of the number. */
const ITEMS = [
  { finding: 'hips-low', measurement: 'hip-depth', from: 12, to: 3, sd: 1 },
  { finding: 'head-held-high', measurement: 'neck-extension', from: 24, to: 6, sd: 2 },
  { finding: 'little-roll', measurement: 'shoulder-roll', from: 27, to: 45, sd: 2 },
] as const;

function changedFilm(at: string, changed: boolean, r: Random) {
  return {
    at,
    request: {
      swimmer: { level: 'intermediate' },
      recording: { views: ['side-under', 'front-under'], paceSecondsPer100: 100 },
      observations: ITEMS.map((i) => ({
        code: i.finding,
        severity: misread(changed ? 0 : 3, r),
        certainty: 'sure',
        view: 'side-under',
        observer: 'A',
      })),
      measurements: ITEMS.map((i) => ({
        code: i.measurement,
        value: (changed ? i.to : i.from) + r.normal(i.sd),
        standardDeviation: i.sd,
      })),
    },
  };
}

describe(`${PAIRS} pairs with a change of three times the limit`, () => {
  test('at least 90 % of the items are found, and called a clear change', async () => {
    const changes: Change[] = [];
    for (let n = 0; n < PAIRS; n++) {
      const r = random(1000 + n);
      const records = [changedFilm(FIRST, false, r), changedFilm(SECOND, true, r)];
      const answer = await compared({ records });
      changes.push(...answer.changes.filter((c) => c.kind === 'finding' || c.kind === 'measurement'));
    }
    expect(changes).toHaveLength(PAIRS * 2 * ITEMS.length);
    const clear = changes.filter((c) => c.verdict === 'clear-change');
    expect(clear.length / changes.length).toBeGreaterThanOrEqual(0.9);
  });

  test('a number by itself is found as a possible change for the better', async () => {
    let found = 0;
    for (let n = 0; n < PAIRS; n++) {
      const r = random(2000 + n);
      const strip = (film: ReturnType<typeof changedFilm>) => ({
        ...film,
        request: { ...film.request, observations: [] },
      });
      const records = [strip(changedFilm(FIRST, false, r)), strip(changedFilm(SECOND, true, r))];
      const { changes } = await compared({ records });
      found += changes.filter((c) => c.kind === 'measurement' && c.direction === 'better').length;
    }
    expect(found / (PAIRS * ITEMS.length)).toBeGreaterThanOrEqual(0.9);
  });
});
