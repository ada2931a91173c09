/** What observers of the same swims are told. All ratings are invented. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { agreement } from '../../../src/authoring/agreement/agreement.ts';
import { jackknifed } from '../../../src/authoring/agreement/fleiss.ts';
import type { AgreementOnObservation, Rating } from '../../../src/contract/agreement.ts';
import { loadAll } from '../../../src/knowledge/load.ts';
import type { RuleSet } from '../../../src/knowledge/rule-set.ts';

const [ruleSet] = (await loadAll(new URL('../../../rules', import.meta.url).pathname)) as [RuleSet];
const CODE = 'hips-low';

/** A row a swim, a column an observer; null: did not look. */
function ratingsOf(rows: readonly (readonly (number | null)[])[], code = CODE): Rating[] {
  return rows.flatMap((row, swim) =>
    row.flatMap((severity, o): Rating[] =>
      severity === null ? [] : [{ observer: 'ABCDE'[o] as string, swim: `S-${swim}`, code, severity }],
    ),
  );
}
const on = (rows: readonly (readonly (number | null)[])[]): AgreementOnObservation =>
  agreement({ ratings: ratingsOf(rows) }, ruleSet).observations[0] as AgreementOnObservation;
const times = <T>(n: number, ...rows: T[]): T[] => Array.from({ length: n }, () => rows).flat();

describe('the verdict', () => {
  test('holds where observers agree on whether and how much', () => {
    expect(on(times(4, [0, 0], [1, 1], [2, 2], [3, 3]))).toMatchObject({
      verdict: 'holds',
      present: { kappa: 1, agreement: 1, method: 'cohen' },
      severity: { kappa: 1, method: 'cohen-linear' },
    });
  });

  test('asks for a better definition where they agree no more than by chance', () => {
    const found = on(times(4, [0, 0], [0, 1], [1, 0], [1, 1]));
    expect(found).toMatchObject({ verdict: 'redefine', present: { kappa: 0, agreement: 0.5 } });
  });

  test('sharpens the grades where only how much is in dispute', () => {
    const found = on(times(3, [0, 0], [0, 0], [1, 3], [3, 1], [1, 3], [2, 1]));
    expect(found).toMatchObject({
      verdict: 'watch',
      because: { code: 'severity-poor' },
      present: { kappa: 1 },
    });
  });

  test('does not blame a definition when nearly all swims look the same', () => {
    const found = on([...times(18, [0, 0]), [1, 0], [0, 1]]);
    expect(found.present?.kappa).toBeLessThan(0.4);
    expect(found).toMatchObject({
      verdict: 'one-sided',
      prevalence: 0.05,
      adjusted: expect.closeTo(0.8, 10),
    });
  });

  test('has no kappa, and no verdict on the definition, when nobody saw it', () => {
    expect(on(times(12, [0, 0]))).toMatchObject({
      verdict: 'one-sided',
      present: { kappa: null, agreement: 1 },
    });
  });

  test('says nothing from nine looks', () => {
    expect(on(times(9, [0, 1])).verdict).toBe('too-few');
    expect(on(times(10, [0, 1], [1, 0])).verdict).toBe('redefine');
  });
});

describe('several observers', () => {
  test("more than two get Fleiss' kappa and every pair its own table", () => {
    const found = on(times(4, [0, 0, 0], [2, 2, 1], [1, 0, 1]));
    expect(found.present?.method).toBe('fleiss');
    expect(found.severity?.method).toBe('mean-of-pairs');
    expect(found.pairs.map((p) => p.observers.join())).toEqual(['A,B', 'A,C', 'B,C']);
    expect(found.pairs[0]?.table).toEqual([
      [4, 0, 0, 0],
      [4, 0, 0, 0],
      [0, 0, 4, 0],
      [0, 0, 0, 0],
    ]);
  });

  test('a look that one observer skipped counts for the others, and none of it counts as absent', () => {
    const rows = times(5, [0, 0, null], [1, 1, 1]);
    const found = on(rows);
    expect(found.items).toBe(10);
    expect(found.present?.items).toBe(5);
    expect(found.pairs.find((p) => p.observers.join() === 'A,B')?.present).toMatchObject({
      items: 10,
      kappa: 1,
    });
  });

  test('looks of one observer alone are left out and named', () => {
    const answer = agreement({ ratings: ratingsOf([...times(10, [0, 0]), [1, null]]) }, ruleSet);
    expect(answer.messages).toEqual([{ code: 'seen-by-one', text: expect.stringContaining('1 looks') }]);
    expect(answer.observations[0]?.items).toBe(10);
  });
});

describe('whatever comes in', () => {
  const anyRows = fc.array(fc.tuple(...[0, 1, 2].map(() => fc.option(fc.integer({ min: 0, max: 3 })))), {
    minLength: 1,
    maxLength: 25,
  });

  test('every kappa lies between -1 and 1 and inside its interval', () => {
    fc.assert(
      fc.property(anyRows, (rows) => {
        const ratings = ratingsOf(rows);
        fc.pre(ratings.length > 0);
        const { present, severity, pairs } = agreement({ ratings }, ruleSet)
          .observations[0] as AgreementOnObservation;
        for (const figure of [present, severity, ...pairs.flatMap((p) => [p.present, p.severity])]) {
          if (figure?.kappa == null || figure.interval === null) continue;
          const [low, high] = figure.interval;
          expect(Math.abs(figure.kappa)).toBeLessThanOrEqual(1 + 1e-12);
          expect(low - 1e-9 <= figure.kappa && figure.kappa <= high + 1e-9).toBe(true);
        }
      }),
    );
  });

  test('the order of the ratings changes nothing', () => {
    fc.assert(
      fc.property(
        anyRows.chain((rows) =>
          fc.tuple(
            fc.constant(ratingsOf(rows)),
            fc.shuffledSubarray(ratingsOf(rows), { minLength: ratingsOf(rows).length }),
          ),
        ),
        ([ratings, shuffled]) => {
          fc.pre(ratings.length > 0);
          expect(agreement({ ratings: shuffled }, ruleSet)).toEqual(agreement({ ratings }, ruleSet));
        },
      ),
    );
  });

  test('left and right are two items of one swim', () => {
    const ratings = ['A', 'B'].flatMap((observer) =>
      Array.from(
        { length: 6 },
        (_, i): Rating => ({
          observer,
          swim: `S-${i}`,
          code: 'catch-hurried',
          side: 'both',
          severity: i % 2,
        }),
      ),
    );
    expect(agreement({ ratings }, ruleSet).observations[0]).toMatchObject({ swims: 6, items: 12 });
  });
});

test('leaving out one swim at a time gives the standard error of a mean exactly', () => {
  const values = [3, 5, 8, 13, 21];
  const found = jackknifed(
    values.map((v) => [v / 100]),
    (items) => items.reduce((a, b) => a + b, 0) / items.length,
  );
  const m = 0.1;
  const sd = Math.sqrt(values.reduce((s, v) => s + (v / 100 - m) ** 2, 0) / 4);
  expect(found?.standardError).toBeCloseTo(sd / Math.sqrt(5), 12);
});
