/** What raw data come out as, asked for alone or inside an assessment. */
import { z } from 'zod';
import { Measurement } from './request.ts';

/** A measurement as assessments take it, with nothing left out that a reader needs to redo it. */
export const TakenMeasurement = Measurement.required({
  side: true,
  unit: true,
  standardDeviation: true,
  certainty: true,
  derivation: true,
}).meta({
  id: 'TakenMeasurement',
  description:
    'As assessments accept it. Asymmetries are right minus left in the derivation; where the code has a side, the side is the shorter or weaker arm and the value is positive there. derivation names inputs, formula and source.',
});

export const Worth = z
  .object({
    change: z.enum(['resistance', 'efficiency']),
    percent: z.number(),
    paceSecondsPer100: z.number().describe('The pace that it is counted from.'),
    upToSecondsPer100: z
      .object({ low: z.number(), high: z.number() })
      .describe(
        'Upper bound of the seconds gained per 100 m, over the contested drag exponent; negative: lost.',
      ),
    text: z.string(),
    derivation: z.record(z.string(), z.union([z.string(), z.number(), z.array(z.number())])),
  })
  .meta({ id: 'Worth', description: 'What a change can at most be worth. Never a promise.' });

export const Measured = z
  .object({
    measurements: z
      .array(TakenMeasurement)
      .describe(
        'May be sent as measurements of an assessment as they stand. A value that a message calls impossible may be refused there.',
      ),
    series: z
      .record(z.string(), z.array(z.number().nullable()))
      .describe('Angles of the landmarks frame by frame, when asked for.'),
    worth: z.array(Worth).describe('What the changes asked for in whatIf can at most be worth.'),
  })
  .meta({ id: 'Measured', description: 'What the raw data came out as.' });

export type TakenMeasurement = z.infer<typeof TakenMeasurement>;
export type Worth = z.infer<typeof Worth>;
export type Measured = z.infer<typeof Measured>;
