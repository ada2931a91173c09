/** Numbers that belong together and do not fit. */
import { describe, expect, test } from 'vitest';
import { at, type copyOfParts, faultsAfter, found, shipped } from './shipped.ts';

type Draft = ReturnType<typeof copyOfParts>;

const measured = (direction: string) => {
  const { index } = found(
    shipped.parts.reports,
    (r) => r.event.params.kind === 'measured' && r.event.params.direction === direction,
  );
  return { index, params: (d: Draft) => at(d.reports, index).event.params as { [field: string]: unknown } };
};
const up = measured('at-least');
const down = measured('at-most');
const place = (i: number, field: string): string => `reports.json#/${i}/event/params/${field}: `;

describe('the bands of a measurement', () => {
  test.each([
    [up, 'rise'],
    [down, 'fall'],
  ])('%#: grades go one way', ({ index, params }, way) => {
    const faults = faultsAfter((d) => {
      const { slight, marked } = params(d);
      Object.assign(params(d), { slight: marked, marked: slight });
      delete params(d).absentAt;
    });
    expect(faults).toEqual([expect.stringContaining(`${place(index, 'slight')}the grades must ${way}`)]);
  });

  test('what is a fault is not clearly good as well', () => {
    const faults = faultsAfter((d) => {
      params0(d).absentAt = params0(d).moderate;
    });
    expect(faults).toEqual([expect.stringContaining(`${place(up.index, 'absentAt')}`)]);
  });
  const params0 = up.params;

  test('a grade outside what can be measured asks for the unit', () => {
    const faults = faultsAfter((d) => {
      params0(d).marked = 1e6;
    });
    expect(faults).toEqual([
      expect.stringMatching(
        /^reports\.json#\/\d+\/event\/params\/marked: ".*" can be .* never 1000000: is it in another unit\?$/,
      ),
    ]);
  });

  test('a measurement needs room between its least and its most', () => {
    const faults = faultsAfter((d) => {
      const { possible } = found(d.measurements, (m) => m.code === 'trunk-incline').entry;
      [possible.min, possible.max] = [possible.max, possible.min];
    });
    expect(faults).toContainEqual(
      expect.stringMatching(/^measurements\.json#\/\d+\/possible: no value lies between/),
    );
  });
});

describe('the constants', () => {
  test('words for probabilities go down to 0', () => {
    expect(
      faultsAfter((d) => {
        d.constants.probabilityWords.reverse();
      }),
    ).toEqual(
      expect.arrayContaining([
        expect.stringMatching(/^constants\.json#\/probabilityWords\/1\/from: must be below that of/),
        expect.stringMatching(/^constants\.json#\/probabilityWords: the last word must begin at 0/),
      ]),
    );
  });

  test('a word lies inside its bin, and each word has one', () => {
    const faults = faultsAfter((d) => {
      const { shows } = d.constants.bins;
      shows.often = [0.7, 0.8];
      delete shows.usually;
      shows['now-and-then'] = [0.1, 0.2];
    });
    expect(faults).toEqual([
      'constants.json#/bins/shows/often: 0.6 does not lie between 0.7 and 0.8',
      'constants.json#/bins/shows: the word "usually" has no bin',
      'constants.json#/bins/shows/now-and-then: "now-and-then" is not one of the words',
    ]);
  });

  test('the phases of an arm add up to all of it', () => {
    const faults = faultsAfter((d) => {
      d.constants.efficiency.weights.push = 0.5;
    });
    expect(faults).toEqual([expect.stringMatching(/^constants\.json#\/efficiency\/weights: .* add up to 1/)]);
  });
});

test('every level has a session', () => {
  const faults = faultsAfter((d, texts) => {
    for (const s of d.sessions.filter((x) => x.level === 'novice')) delete texts.sessions[s.code];
    d.sessions = d.sessions.filter((s) => s.level !== 'novice');
  });
  expect(faults).toEqual(['sessions.json#: there is no session template for the level "novice"']);
});
