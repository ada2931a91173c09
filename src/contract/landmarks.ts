/** Tracks of body points from another program. */
import { z } from 'zod';
import { Arm } from './common.ts';

const Coordinate = z.number().min(-1e6).max(1e6);
const Point = z.union([
  z.tuple([Coordinate, Coordinate]),
  z.tuple([Coordinate, Coordinate, Coordinate]),
  z.null(),
]);
const PointName = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be a kebab-case name')
  .max(40);

export const LANDMARK_VIEWS = ['side-under', 'side-above', 'front-under', 'rear', 'overhead', '3d'] as const;

export const Landmarks = z
  .strictObject({
    view: z
      .enum(LANDMARK_VIEWS)
      .describe('Where the camera was. A view that cannot show an angle gives none; 3d: points in space.'),
    unit: z
      .enum(['px', 'mm', 'm'])
      .describe(
        'px: x to the right, y down. mm and m in a 2D view: y up. 3d (mm or m): x in the swimming direction, y to the left of the swimmer, z up.',
      ),
    pixelsPerMetre: z
      .number()
      .min(1)
      .max(100_000)
      .optional()
      .describe("Scale at the swimmer's midline, for px. Lengths need this or calibration; angles do not."),
    calibration: z
      .strictObject({ from: PointName, to: PointName, metres: z.number().min(0.01).max(100) })
      .optional()
      .describe('Two tracked points a known distance apart, instead of pixelsPerMetre.'),
    heading: Arm.optional().describe(
      'Which way the swimmer swims in the picture. Left out: from head and hips.',
    ),
    nearSide: Arm.optional().describe('The arm nearer to a side camera.'),
    waterlineY: Coordinate.optional().describe(
      'Height of the water surface on the vertical axis; depths need it.',
    ),
    entryFrames: z
      .strictObject({
        left: z.array(z.int().min(0).max(100_000)).max(500).optional(),
        right: z.array(z.int().min(0).max(100_000)).max(500).optional(),
      })
      .optional()
      .describe('Frames, counted from 0, in which each hand enters, for views that do not show it.'),
    points: z
      .record(PointName, z.array(Point).max(20_000))
      .refine((points) => Object.keys(points).length <= 60, 'at most 60 points')
      .describe(
        'One list per point, one item per frame, null where it was not seen. Names: left- or right- with shoulder, elbow, wrist, hand, hip, knee, ankle, heel, eye; and crown, chin, seat.',
      ),
  })
  .meta({ id: 'Landmarks', description: 'Tracks of body points from another program, one item per frame.' });
