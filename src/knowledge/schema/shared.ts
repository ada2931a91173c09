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
