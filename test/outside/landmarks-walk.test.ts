/** Markers of a walking adult (source and licence beside the numbers): angles, cycles and how much a sound segment varies. */
import { describe, expect, test } from 'vitest';
import { measureLandmarks } from '../../src/measure/landmarks/landmarks.ts';
import { periodOf } from '../../src/measure/landmarks/period.ts';
import { interiorAngle } from '../../src/measure/landmarks/vector.ts';
import { EVERY_SIXTH, KNEE_ANGLE, type LegFrame, NAMED_FRAMES } from './fixtures/walk.ts';

/** Angles that NumPy 2.4.6 gives for the same markers. */
const NUMPY: Readonly<Record<number, number>> = {
  1: 146.69479,
  21: 117.36377,
  100: 170.98329,
  165: 179.89048,
};

test.each(NAMED_FRAMES)('knee angle in frame $frame', ({ frame, hip, knee, ankle }) => {
  expect(interiorAngle(hip, knee, ankle)).toBeCloseTo(NUMPY[frame]!, 4);
});

describe('cycles', () => {
  /** From one heel strike to the next: 0.986 s. A plain peak finder halves it to 0.429 s. */
  const CYCLE_S = 0.986;
  const RATE = 50;

  test('one cycle and a bit is too little to tell, and is not halved', () => {
    expect(periodOf([KNEE_ANGLE], RATE)).toBeUndefined();
  });

  test('a knee bends twice a cycle: the cycle is found, not its half', () => {
    const cycle = KNEE_ANGLE.slice(0, Math.round(CYCLE_S * RATE));
    const steps = Array.from({ length: 4 }, () => cycle).flat();
    expect(periodOf([steps], RATE)! / RATE).toBeCloseTo(CYCLE_S, 1);
  });
});

describe('segment lengths', () => {
  /** The markers in the axes of the service: y to the left, z up. */
  const place = ([x, y, z]: LegFrame['hip']): [number, number, number] => [x, -z, y];
  const answerTo = (stretch: number) =>
    measureLandmarks(
      {
        view: '3d',
        unit: 'mm',
        points: {
          'right-hip': EVERY_SIXTH.map((f) => place(f.hip)),
          'right-knee': EVERY_SIXTH.map((f, i): [number, number, number] => {
            const [x, y, z] = place(f.knee);
            return [x, y, z + (i % 2 === 0 ? stretch : -stretch)];
          }),
        },
      },
      { frameRate: 25, series: false },
    );
  const varies = (stretch: number) =>
    answerTo(stretch).notes.filter((n) => n.code === 'segment-length-varies');

  test('markers on skin: the thigh is 416 mm long and varies by 2.5 %, which is no fault', () => {
    const lengths = EVERY_SIXTH.map(({ hip, knee }) => Math.hypot(...hip.map((v, i) => v - knee[i]!)));
    const mean = lengths.reduce((sum, v) => sum + v, 0) / lengths.length;
    const sd = Math.sqrt(lengths.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (lengths.length - 1));
    expect(mean).toBeCloseTo(416.5, 1);
    expect(sd / mean).toBeCloseTo(0.0248, 4);
    expect(varies(0)).toEqual([]);
  });

  test('a knee that jumps by 3 cm from frame to frame is flagged', () => {
    expect(varies(30)).toMatchObject([
      { severity: 'warning', values: { segment: 'right-thigh', percent: expect.stringMatching(/^[6-9]$/) } },
    ]);
  });
});
