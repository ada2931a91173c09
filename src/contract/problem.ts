/** RFC 9457 problem details. */
import { z } from 'zod';

export const ProblemError = z
  .object({
    pointer: z
      .string()
      .describe('JSON Pointer (RFC 6901) into the request body, or the name of a parameter.'),
    code: z.string(),
    message: z.string(),
    suggestions: z.array(z.string()).optional().describe('The nearest known codes.'),
    row: z.int().optional().describe('Row of a spreadsheet, as it counts them: the header is row 1.'),
    column: z.string().optional().describe('Name of the column in the header of a spreadsheet.'),
  })
  .meta({ id: 'ProblemError' });

export const Problem = z
  .object({
    type: z.string().describe('Stable address of a page that explains the problem.'),
    title: z.string(),
    status: z.int(),
    detail: z.string().optional(),
    requestId: z.string().optional().describe('Id of the HTTP request, for the log.'),
    errors: z.array(ProblemError).optional(),
  })
  .meta({ id: 'Problem', description: 'RFC 9457 problem details.' });

export type ProblemError = z.infer<typeof ProblemError>;
export type Problem = z.infer<typeof Problem>;
