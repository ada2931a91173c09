/** POST /v1/measurements: raw timings, positions and landmarks in, measurements with their uncertainty out. */
import { z } from 'zod';
import { Message } from './answer.ts';
import { Measured } from './measured.ts';
import { frameRateGiven, RAW_FIELDS } from './raw-data.ts';

export const MeasurementsRequest = z
  .strictObject({
    ruleSet: z
      .string()
      .max(120)
      .optional()
      .describe('name, name@version or name@range; left out: the newest version of front-crawl.'),
    ...RAW_FIELDS,
  })
  .superRefine(frameRateGiven)
  .meta({
    id: 'MeasurementsRequest',
    description:
      'Raw timings, positions and landmarks, each kind alone or together. Without ruleSet it is what an assessment takes as raw.',
  });

export const MeasurementsAnswer = z
  .object({
    ruleSet: z.object({ name: z.string(), version: z.string(), digest: z.string() }),
    ...Measured.shape,
    messages: z.array(Message).describe('What was left out or looks wrong, and what to do about it.'),
  })
  .meta({ id: 'MeasurementsAnswer' });

export type MeasurementsRequest = z.infer<typeof MeasurementsRequest>;
export type MeasurementsAnswer = z.infer<typeof MeasurementsAnswer>;
