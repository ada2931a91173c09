/** What must not change a measurement: the side named left, the origin of time, the frame rate, the unit, the order. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Measured } from '../../src/measure/measure.ts';
import { measured, valueIn } from './front-crawl.ts';
import { type Arms, type Mark, marksOf, mirrored, type Swim } from './swimmer.ts';

/** Moments on whole steps of 1/25 s, so that every frame rate below can show them exactly. */
const STEP = 25;
const arms: fc.Arbitrary<Arms> = fc
  .tuple(fc.integer({ min: 2, max: 12 }), fc.integer({ min: 3, max: 9 }), fc.integer({ min: 3, max: 9 }))
  .map(([front, pull, push]) => ({ pullStart: front, midPull: front + pull, exit: front + pull + push }));
const swims: fc.Arbitrary<Swim> = fc
  .record({
    cycle: fc.integer({ min: 34, max: 60 }),
    cycles: fc.integer({ min: 1, max: 5 }),
    left: arms,
    right: arms,
    behind: fc.integer({ min: 14, max: 20 }),
    start: fc.integer({ min: 0, max: 50 }),
  })
  .map(({ cycle, cycles, left, right, behind, start }) => {
    const share = ({ pullStart, midPull, exit }: Arms): Arms => ({
      pullStart: pullStart / cycle,
      midPull: midPull / cycle,
      exit: exit / cycle,
    });
    return {
      cycleSeconds: cycle / STEP,
      cycles,
      left: share(left),
      right: share(right),
      offset: behind / cycle,
      start: start / STEP,
    };
  });

type Line = readonly [key: string, value: number, standardDeviation: number];
const linesOf = (answer: Measured): Line[] =>
  answer.measurements
    .map((m): Line => [`${m.code}|${m.side}`, m.value, m.standardDeviation])
    .sort(([a], [b]) => (a < b ? -1 : 1));

function alike(one: readonly Line[], two: readonly Line[], what: 'value' | 'both'): void {
  expect(two.map(([key]) => key)).toEqual(one.map(([key]) => key));
  one.forEach(([key, value, sd], i) => {
    expect(two[i]?.[1], key).toBeCloseTo(value, 7);
    if (what === 'both') expect(two[i]?.[2], key).toBeCloseTo(sd, 7);
  });
}

const inFrames = (marks: readonly Mark[], frameRate: number) => ({
  frameRate,
  events: marks.map(({ time, ...m }) => ({ ...m, frame: Math.round(time * frameRate) })),
});

describe('marks of the arms', () => {
  test('swapping left and right swaps the answer', () => {
    /** Differences turn their sign; sizes and everything of the whole body stay. */
    const SIGNED = ['coordination-difference|body', 'propulsive-asymmetry|body'];
    const swapped = (lines: readonly Line[]): Line[] =>
      lines
        .map(([key, value, sd]): Line => {
          const side = key.replace(/\|(left|right)$/, (_, s) => (s === 'left' ? '|right' : '|left'));
          return [side, SIGNED.includes(key) ? -value : value, sd];
        })
        .sort(([a], [b]) => (a < b ? -1 : 1));
    fc.assert(
      fc.property(swims, (swim) => {
        const marks = marksOf(swim);
        alike(
          swapped(linesOf(measured(inFrames(marks, 50)))),
          linesOf(measured(inFrames(mirrored(marks), 50))),
          'both',
        );
      }),
      { numRuns: 60, seed: 4 },
    );
  });

  test('another frame rate that shows the same moments gives the same values', () => {
    fc.assert(
      fc.property(swims, fc.constantFrom(50, 75, 100, 200, 250), (swim, frameRate) => {
        const marks = marksOf(swim);
        const coarse = measured(inFrames(marks, STEP));
        // the lower the rate, the larger what is stated
        const fine = measured(inFrames(marks, frameRate));
        alike(linesOf(coarse), linesOf(fine), 'value');
        for (const [i, [key, , sd]] of linesOf(coarse).entries())
          if (!key.startsWith('cycle-variation'))
            expect(linesOf(fine)[i]?.[2], key).toBeLessThanOrEqual(sd + 1e-12);
        alike(linesOf(coarse), linesOf(measured({ events: marks })), 'value');
      }),
      { numRuns: 60, seed: 5 },
    );
  });

  test('a coarser film moves a value by no more than its frames can', () => {
    fc.assert(
      fc.property(swims, fc.double({ min: 0, max: 0.02, noNaN: true }), (swim, shift) => {
        const marks = marksOf({ ...swim, start: swim.start + shift });
        const exact = measured({ events: marks });
        const film = measured(inFrames(marks, 60));
        // two moments, half a frame each, over a row of cycles
        const most = 1 / 60 / swim.cycles;
        expect(Math.abs(valueIn(film, 'cycle-time') - valueIn(exact, 'cycle-time'))).toBeLessThanOrEqual(
          most + 1e-9,
        );
      }),
      { numRuns: 60, seed: 6 },
    );
  });

  test('another origin of time changes nothing', () => {
    fc.assert(
      fc.property(swims, fc.integer({ min: 1, max: 100_000 }), (swim, later) => {
        const here = inFrames(marksOf(swim), 50);
        const there = {
          ...here,
          events: here.events.map((e) => ({ ...e, frame: e.frame + later })),
        };
        alike(linesOf(measured(here)), linesOf(measured(there)), 'both');
      }),
      { numRuns: 40, seed: 7 },
    );
  });

  test('the order of the marks and marks written twice change nothing', () => {
    fc.assert(
      fc.property(swims, fc.infiniteStream(fc.nat()), (swim, keys) => {
        const { frameRate, events } = inFrames(marksOf(swim), 50);
        const shuffled = [...events, ...events.slice(0, 3)]
          .map((e) => [keys.next().value as number, e] as const)
          .sort(([a], [b]) => a - b)
          .map(([, e]) => e);
        expect(measured({ frameRate, events: shuffled })).toEqual(measured({ frameRate, events }));
      }),
      { numRuns: 40, seed: 8 },
    );
  });
});

const METRES_PER_YARD = 0.9144;

describe('distances', () => {
  const length = fc.record({
    metres: fc.constantFrom(22.86, 25, 45.72, 50),
    pace: fc.double({ min: 0.6, max: 1.6, noNaN: true }),
    stroke: fc.double({ min: 0.6, max: 1.2, noNaN: true }),
    push: fc.double({ min: 2, max: 6, noNaN: true }),
  });

  test('yards and metres give one answer', () => {
    fc.assert(
      fc.property(fc.array(length, { minLength: 1, maxLength: 6 }), (drawn) => {
        const lengths = drawn.map(({ metres, pace, stroke, push }) => ({
          metres,
          seconds: 2 + (metres - push) * pace,
          armStrokes: Math.round((metres - push) / stroke),
          pushOffMetres: push,
          pushOffSeconds: 2,
        }));
        const yards = lengths.map(({ metres, pushOffMetres, ...l }) => ({
          ...l,
          yards: metres / METRES_PER_YARD,
          pushOffYards: pushOffMetres / METRES_PER_YARD,
        }));
        alike(linesOf(measured({ lengths })), linesOf(measured({ lengths: yards })), 'both');
      }),
      { numRuns: 60, seed: 9 },
    );
  });

  test('test swims in yards and in any order give one answer', () => {
    const swims2 = [
      { metres: 400, seconds: 384 },
      { metres: 200, seconds: 182 },
      { metres: 800, seconds: 806 },
      { metres: 22.86, seconds: 41, kind: 'kick' },
      { metres: 45.72, seconds: 45, kind: 'buoy' },
      { metres: 45.72, seconds: 44, kind: 'buoy' },
      { metres: 45.72, seconds: 47, kind: 'no-buoy' },
      { metres: 45.72, seconds: 46, kind: 'no-buoy' },
    ];
    const yards = swims2.map(({ metres, ...s }) => ({ ...s, yards: metres / METRES_PER_YARD })).reverse();
    const [one, two] = [measured({ timedSwims: swims2 }), measured({ timedSwims: yards })];
    expect(one.measurements.map((m) => m.code).sort()).toEqual([
      'buoy-gain',
      'critical-pace',
      'critical-speed',
      'kick-25-time',
    ]);
    alike(linesOf(one), linesOf(two), 'both');
    expect(two.messages.map((m) => [m.code, m.about])).toEqual(one.messages.map((m) => [m.code, m.about]));
    expect(measured({ timedSwims: swims2.toReversed() })).toEqual(one);
  });

  test('a test swim is spoken of in the unit it was given in, whichever of two equal ones comes first', () => {
    const timedSwims = [
      { yards: 200, seconds: 160 },
      { metres: 200 * METRES_PER_YARD, seconds: 160 },
      { yards: 500, seconds: 430 },
    ];
    const told = [timedSwims, timedSwims.toReversed()].map((s) => measured({ timedSwims: s }).messages);
    expect(told[0]?.[0]?.text).toMatch(/^Critical speed from 200 yd, 500 yd\./);
    expect(told[1]).toEqual(told[0]);
  });

  test('the order of lengths means first to last, and turns the drift only', () => {
    const lengths = [20, 21, 22, 24].map((armStrokes) => ({
      metres: 25,
      seconds: 22,
      armStrokes,
      pushOffMetres: 5,
      pushOffSeconds: 2.6,
    }));
    const there = measured({ lengths });
    const back = measured({ lengths: [...lengths].reverse() });
    expect(valueIn(there, 'count-drift')).toBeCloseTo(20, 9);
    expect(valueIn(back, 'count-drift')).toBeCloseTo((100 * (20 - 24)) / 24, 9);
    const rest = (answer: Measured): Line[] => linesOf(answer).filter(([key]) => key !== 'count-drift|body');
    alike(rest(there), rest(back), 'both');
  });
});
