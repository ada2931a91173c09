/** Angles, scale and noise worked by hand from textbook geometry. */
import { describe, expect, test } from 'vitest';
import { measureLandmarks } from '../../src/measure/landmarks/landmarks.ts';
import { interiorAngle, interiorAngleSd } from '../../src/measure/landmarks/vector.ts';
import { random } from '../forward-model/random.ts';

type Point = readonly [number, number];
const still = (point: Point, frames = 40): Point[] => Array.from({ length: frames }, () => point);

describe('interior angle at a joint, atan2 of cross and dot product', () => {
  test('shoulder (220, 200), elbow (300, 260), wrist (310, 360): 132.580 degrees', () => {
    expect(interiorAngle([220, 200], [300, 260], [310, 360])).toBeCloseTo(132.5804908, 6);
  });

  test.each([
    ['a right angle', [0, 1], [0, 0], [1, 0], 90],
    ['straight', [-1, 0], [0, 0], [2, 0], 180],
    ['folded', [3, 4], [0, 0], [6, 8], 0],
    [
      'nearly straight, where acos loses its digits',
      [-1, 0],
      [0, 0],
      [1, 1e-9],
      180 - 1e-9 * (180 / Math.PI),
    ],
  ] as const)('%s', (_, a, b, c, angle) => {
    expect(interiorAngle(a, b, c)).toBeCloseTo(angle, 10);
  });

  test('points that coincide make no angle', () => {
    expect(interiorAngle([1, 1], [1, 1], [2, 3])).toBeNaN();
    expect(interiorAngle([1, 1, 1], [2, 3, 4], [2, 3, 4])).toBeNaN();
  });
});

test('trunk, y down: shoulder (300, 320), hip (640, 355): 5.877 degrees, hips low', () => {
  const points = { 'left-shoulder': still([300, 320]), 'left-hip': still([640, 355]) };
  const answer = measureLandmarks(
    { view: 'side-under', unit: 'px', heading: 'left', points },
    { frameRate: 50, series: true },
  );
  expect(answer.measurements.find((m) => m.code === 'trunk-incline')?.value).toBeCloseTo(5.877392606643, 6);
  expect(answer.series['trunk-incline']?.[20]).toBeCloseTo(5.877392606643, 6);
});

test('roll from the front: a shoulder line 0.30 m across and 0.26 m up is rolled by 40.91 degrees', () => {
  const points = { 'left-shoulder': still([0.3, 0.26]), 'right-shoulder': still([0, 0]) };
  const { series } = measureLandmarks(
    { view: 'front-under', unit: 'm', points },
    { frameRate: 50, series: true },
  );
  expect(series['shoulder-roll']?.[20]).toBeCloseTo(40.9144, 4);
});

test('forearm from the side: elbow (300, 260), wrist (310, 360) is 5.71 degrees from the vertical', () => {
  const points = {
    'left-elbow': still([300, 260]),
    'left-wrist': still([310, 360]),
    'left-shoulder': still([250, 200]),
    'left-hip': still([600, 210]),
  };
  const { series } = measureLandmarks(
    { view: 'side-under', unit: 'px', heading: 'left', points },
    { frameRate: 50, series: true },
  );
  expect(Math.abs(90 - series['left-forearm-pitch']![20]!)).toBeCloseTo(5.7106, 3);
});

test('scale: 2.00 m over 412 px is 0.004854 m a pixel, and 398 px are 1.932 m', () => {
  const depth = (px: number): number => {
    const points = {
      'rod-top': still([100, 100]),
      'rod-end': still([512, 100]),
      'left-shoulder': still([300, 300]),
      'left-hip': still([600, 300]),
      seat: still([600, 300 + px]),
    };
    const { measurements } = measureLandmarks(
      {
        view: 'side-under',
        unit: 'px',
        heading: 'left',
        waterlineY: 300,
        calibration: { from: 'rod-top', to: 'rod-end', metres: 2 },
        points,
      },
      { frameRate: 50, series: false },
    );
    return measurements.find((m) => m.code === 'hip-depth')!.value;
  };
  expect(depth(1)).toBeCloseTo(0.4854369, 6);
  expect(depth(398)).toBeCloseTo(193.2038835, 5);
});

describe('noise of an angle: s sqrt(2/L1^2 + 2/L2^2 - 2 cos a / (L1 L2))', () => {
  test.each([
    [60, 2.9771760353],
    [90, 3.4377467708],
    [120, 3.8435177345],
    [150, 4.115275387],
    [180, 4.2103627266],
  ])('3 px on segments of 100 px at %d degrees: %d degrees', (angle, sd) => {
    expect(interiorAngleSd(3, 100, 100, angle)).toBeCloseTo(sd, 8);
  });

  test('segments of 60 and 70 px at 100 degrees: 5.56 degrees', () => {
    expect(interiorAngleSd(3, 60, 70, 100)).toBeCloseTo(5.56, 2);
  });

  test('20 000 noisy right angles spread by 3.44 degrees', () => {
    const r = random(4);
    const shaken = (x: number, y: number): Point => [x + r.normal(3), y + r.normal(3)];
    const angles = Array.from({ length: 20_000 }, () =>
      interiorAngle(shaken(0, 100), shaken(0, 0), shaken(100, 0)),
    );
    const mean = angles.reduce((sum, a) => sum + a, 0) / angles.length;
    const sd = Math.sqrt(angles.reduce((sum, a) => sum + (a - mean) ** 2, 0) / angles.length);
    expect(sd).toBeCloseTo(3.44, 1);
  });
});
