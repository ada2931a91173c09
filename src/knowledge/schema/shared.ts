/** Small shapes that every file of a rule set is built from. */
import { z } from 'zod';

export const Mark = z
  .string()
  .regex(
    /common practice|judgement|published: ?\S|from memory/,
    'must name a source: "published: …", "common practice", "judgement" or "from memory"',
  )
  .describe('Where the entry comes from.');

export const Id = z
  .string()
  .regex(/^[a-z0-9]+(-{1,2}[a-z0-9]+)*$/, 'must be a kebab-case id')
  .max(200);
export const Share = z.number().min(0).max(1);
export const Prose = z.string().min(1).max(400);
export const SideRule = z.enum(['same', 'opposite', 'both', 'stronger', 'body']);

/** Findings of the lint that an author accepts, each with the reason: they are not reported again. */
export const Allow = z
  .array(
    z.strictObject({
      lint: z.string().min(1).max(80).describe('Id of the lint.'),
      about: z.string().max(200).optional().describe('What it is about; left out: all of this lint here.'),
      because: Prose,
    }),
  )
  .max(20)
  .optional();
