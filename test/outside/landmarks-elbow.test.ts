/**
 * Elbow angles against a motion-capture laboratory's own software (source and licence beside the numbers), which treats the
 * elbow as a pure hinge: flexion is 180 degrees less the interior angle. The whole trial agrees within 0.0031 degrees.
 */
import { describe, expect, test } from 'vitest';
import { interiorAngle } from '../../src/measure/landmarks/vector.ts';
import { ARM_MOVEMENT } from './fixtures/arm-movement.ts';

const ARMS = ARM_MOVEMENT.flatMap(({ frame, left, right }) => [
  { name: `frame ${frame}, left`, ...left },
  { name: `frame ${frame}, right`, ...right },
]);

describe('elbow angle in space', () => {
  test.each(ARMS)('$name: $flexion degrees of flexion, to 0.01', ({ shoulder, elbow, wrist, flexion }) => {
    expect(Math.abs(180 - interiorAngle(shoulder, elbow, wrist) - flexion)).toBeLessThan(0.01);
  });

  test('is the same whichever axis comes first and wherever the origin is', () => {
    for (const { shoulder, elbow, wrist, flexion } of ARMS) {
      const moved = [shoulder, elbow, wrist].map(([x, y, z]) => [z - 500, x + 2000, y]);
      expect(180 - interiorAngle(moved[0]!, moved[1]!, moved[2]!)).toBeCloseTo(flexion, 1);
    }
  });
});

/** On the same arms: a picture is off by little in one plane and by tens of degrees in another. */
test('the same arms in a picture: an angle without a view is no measurement', () => {
  const meanError = (axes: readonly [0 | 1 | 2, 0 | 1 | 2]): number => {
    const errors = ARMS.map(({ shoulder, elbow, wrist, flexion }) => {
      const [a, b, c] = [shoulder, elbow, wrist].map((p) => axes.map((i) => p[i]!));
      return Math.abs(180 - interiorAngle(a!, b!, c!) - flexion);
    });
    return errors.reduce((sum, e) => sum + e, 0) / errors.length;
  };
  expect(meanError([0, 2])).toBeLessThan(3);
  expect(meanError([1, 2])).toBeGreaterThan(15);
});
