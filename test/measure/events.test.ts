import { describe, expect, test } from 'vitest';
import { found, measured, said, valueIn } from './front-crawl.ts';
import { marksOf, STEADY } from './swimmer.ts';

const entries = (arm: string, times: readonly number[]) =>
  times.map((time) => ({ arm, kind: 'entry', time }));

describe('a cycle is two arm strokes', () => {
  test.each([2, 3, 4, 8])('%d entries of one hand are one cycle fewer', (n) => {
    const times = Array.from({ length: n }, (_, i) => 1.5 * i);
    const answer = measured({ events: entries('left', times) });
    expect(valueIn(answer, 'stroke-rate')).toBeCloseTo(40, 9);
    expect(found(answer, 'stroke-rate')?.derivation.cycles).toBe(n - 1);
    expect(found(answer, 'stroke-rate')?.certainty).toBe(n > 3 ? 'sure' : n === 3 ? 'likely' : 'unsure');
  });

  test('one entry of each hand is no cycle, and it says what to mark', () => {
    const answer = measured({ events: [...entries('left', [0.75]), ...entries('right', [0])] });
    expect(answer.measurements).toEqual([]);
    expect(said(answer, 'no-whole-cycle')?.text).toMatch(/two entries of one hand for one cycle/);
  });

  test('both hands together mark the same cycles, not twice as many', () => {
    const events = [...entries('left', [0.75, 2.25, 3.75, 5.25]), ...entries('right', [0, 1.5, 3, 4.5])];
    const answer = measured({ events });
    expect(valueIn(answer, 'stroke-rate')).toBeCloseTo(40, 9);
    expect(found(answer, 'stroke-rate')?.derivation.cycles).toBe(3);
    expect(found(answer, 'stroke-rate')?.derivation.armStrokesPerMinute).toBeCloseTo(80, 9);
    expect(found(answer, 'stroke-rate')?.unit).toBe('cycles/min');
  });

  test('arm strokes of both hands under one name come out as twice the rate, and are flagged', () => {
    const times = Array.from({ length: 9 }, (_, i) => 0.3 * i);
    const answer = measured({ events: entries('left', times) });
    expect(valueIn(answer, 'stroke-rate')).toBeCloseTo(200, 6);
    expect(found(answer, 'stroke-rate')?.certainty).toBe('unsure');
    const text = said(answer, 'implausible-high')?.text;
    expect(text).toMatch(
      /comes out at 200 cycles\/min\. No swimmer is above 80\..*Two arm strokes are one cycle\./,
    );
    // the cycle time says the same and is not told again
    expect(answer.messages.filter((m) => m.code.startsWith('implausible'))).toHaveLength(1);
  });

  test('without entries another mark of the same hand gives the cycle', () => {
    const events = [0.1, 1.7, 3.3].map((time) => ({ arm: 'right', kind: 'exit', time }));
    expect(valueIn(measured({ events }), 'cycle-time')).toBeCloseTo(1.6, 9);
  });
});

describe('marks that do not fit', () => {
  test('a missing entry makes one cycle of twice the time: left out and said', () => {
    const events = entries('left', [0, 1.5, 3, 6, 7.5, 9]);
    const answer = measured({ events });
    expect(valueIn(answer, 'cycle-time')).toBeCloseTo(1.5, 9);
    expect(said(answer, 'cycle-out-of-line')?.text).toMatch(
      /One cycle of the left hand lasts 3 s while the usual one lasts 1\.5 s/,
    );
  });

  test('an entry that is there twice makes a short cycle: left out and said', () => {
    const answer = measured({ events: entries('right', [0, 1.5, 1.6, 3, 4.5, 6]) });
    expect(said(answer, 'cycle-out-of-line')).toBeDefined();
    expect(valueIn(answer, 'cycle-time')).toBeGreaterThan(1.4);
  });

  test('marks out of order: the stroke is left out, the others stay', () => {
    const marks = marksOf(STEADY).map((m) =>
      m.arm === 'left' && m.kind === 'exit' && m.time < 3 ? { ...m, time: m.time - 0.6 } : m,
    );
    const answer = measured({ events: marks });
    expect(said(answer, 'events-out-of-order')?.about).toEqual({ side: 'left' });
    expect(found(answer, 'push-share', 'left')?.derivation.shares).toHaveLength(2);
    expect(found(answer, 'push-share', 'right')?.derivation.shares).toHaveLength(3);
  });

  test('one hand twice in a row: an entry is missing or has the wrong arm', () => {
    const events = [...entries('left', [0, 1.5, 3, 4.5]), ...entries('right', [0.75, 3.75])];
    expect(said(measured({ events }), 'arms-not-alternating')?.text).toMatch(
      /The left hand enters twice by 3 s with no right entry between/,
    );
  });

  test('hands that alternate, or of which one was marked later, are no fault', () => {
    const later = [...entries('left', [0, 1.5, 3, 4.5, 6]), ...entries('right', [3.75, 5.25])];
    expect(measured({ events: later }).messages).toEqual([]);
  });

  test('a pause without its end is said; one with both is measured', () => {
    const pause = [
      { arm: 'left', kind: 'pause-start', time: 1 },
      { arm: 'left', kind: 'pause-end', time: 1.2 },
      { arm: 'left', kind: 'pause-start', time: 2.6 },
    ];
    const answer = measured({ events: pause });
    expect(valueIn(answer, 'recovery-pause', 'left')).toBeCloseTo(0.2, 9);
    expect(said(answer, 'pause-without-end')?.about.side).toBe('left');
    expect(found(answer, 'recovery-pause', 'right')).toBeUndefined();
  });
});

describe('phases', () => {
  const answer = measured({ events: marksOf(STEADY) });

  test('shares are those of the swim, and add up to the whole cycle', () => {
    const shares = ['front-time-share', 'pull-share', 'push-share', 'recovery-share'];
    expect(shares.map((code) => valueIn(answer, code, 'right').toFixed(6))).toEqual([
      '35.000000',
      '20.000000',
      '20.000000',
      '25.000000',
    ]);
    for (const arm of ['left', 'right'])
      expect(shares.reduce((sum, code) => sum + valueIn(answer, code, arm), 0)).toBeCloseTo(100, 9);
  });

  test('durations are in seconds and carry their own code and unit', () => {
    expect(found(answer, 'front-time', 'left')).toMatchObject({ unit: 's' });
    expect(valueIn(answer, 'front-time', 'left')).toBeCloseTo(0.48, 9);
    expect(valueIn(answer, 'underwater-time', 'right')).toBeCloseTo(1.2, 9);
  });

  test('a phase whose marks are missing is not given', () => {
    const events = marksOf(STEADY).filter((m) => m.kind !== 'mid-pull');
    const codes = measured({ events }).measurements.map((m) => m.code);
    expect(codes).toEqual(expect.arrayContaining(['front-time-share', 'propulsive-share', 'recovery-share']));
    expect(codes.filter((c) => /^pull-|^push-/.test(c))).toEqual([]);
  });

  test('more cycles, a smaller standard deviation', () => {
    const sd = (cycles: number): number =>
      found(measured({ events: marksOf({ ...STEADY, cycles }) }), 'front-time-share', 'left')
        ?.standardDeviation ?? 0;
    expect(sd(4)).toBeLessThan(sd(2));
    expect(sd(2)).toBeLessThan(sd(1));
  });
});

describe('coordination', () => {
  const swum = (exit: number) =>
    measured({
      frameRate: 100,
      events: marksOf({
        ...STEADY,
        left: { ...STEADY.left, exit },
        right: { ...STEADY.left, exit },
      }).map(({ time, ...m }) => ({ ...m, frame: Math.round(time * 100) })),
    });

  test.each([
    [0.7, -10, 'catch-up'],
    [0.795, -0.5, 'opposition'],
    [0.805, 0.5, 'opposition'],
    [0.85, 5, 'superposition'],
  ])('push until %d of the cycle: %d %%, %s', (exit, index, mode) => {
    const answer = swum(exit);
    expect(Math.abs(valueIn(answer, 'coordination-index') - index)).toBeLessThan(0.6);
    expect(found(answer, 'coordination-index')?.derivation.mode).toBe(mode);
    expect(answer.messages.map((m) => m.code)).toEqual([`coordination-${mode}`]);
  });

  test('the dead band is at least one point and grows with coarse film', () => {
    const band = (frameRate: number): number =>
      found(
        measured({
          frameRate,
          events: marksOf({ ...STEADY, cycles: 1, cycleSeconds: 1.2 }).map(({ time, ...m }) => ({
            ...m,
            frame: Math.round(time * frameRate),
          })),
        }),
        'coordination-lag',
      )?.standardDeviation ?? 0;
    expect(band(25)).toBeGreaterThan(band(100));
    expect(found(swum(0.7), 'coordination-index')?.derivation.deadBand).toBe(1);
  });

  test('marks of one side only give one lag, no index, and say so', () => {
    const events = marksOf(STEADY).filter((m) => !(m.arm === 'left' && m.kind === 'exit'));
    const answer = measured({ events });
    expect(found(answer, 'coordination-lag')?.side).toBe('left');
    expect(found(answer, 'coordination-index')).toBeUndefined();
    expect(said(answer, 'coordination-needs-both')).toBeDefined();
  });
});
