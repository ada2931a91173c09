/** Words shared by requests and answers. Codes that come from a rule set are plain kebab-case strings here. */
import { z } from 'zod';

export const Code = z
  .string()
  .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be a kebab-case code')
  .max(80);

/** A name that a caller gives to something of its own. */
export const CallerId = z
  .string()
  .regex(/^[A-Za-z0-9._:/-]{1,64}$/, 'must be 1 to 64 characters of A-Z a-z 0-9 . _ : / -');

export const LEVELS = ['novice', 'intermediate', 'advanced'] as const;
export const GOALS = [
  'fitness',
  'first-continuous-distance',
  'pool-sprint',
  'pool-distance',
  'open-water',
  'triathlon',
] as const;
export const VIEWS = [
  'overhead',
  'side-above',
  'side-under',
  'front-under',
  'rear',
  'land-test',
  'pool-probe',
  'self-report',
] as const;
export const CERTAINTIES = ['sure', 'likely', 'unsure'] as const;

export const Level = z
  .enum(LEVELS)
  .describe('Level of the swimmer; sets how common each cause is before anything is seen.');
export const Goal = z.enum(GOALS);
export const View = z
  .enum(VIEWS)
  .describe('The look an entry was made from. "rear" is under water unless the note says otherwise.');
export const Certainty = z
  .enum(CERTAINTIES)
  .describe(
    'sure: seen in three or more cycles in a best view; likely: fewer cycles or a second-best view; unsure: poor view, one cycle or hearsay.',
  );
export const Arm = z.enum(['left', 'right']);
/** Left and right are always the swimmer's own. */
export const Side = z.enum(['body', 'left', 'right']);

export type Level = z.infer<typeof Level>;
export type Goal = z.infer<typeof Goal>;
export type View = z.infer<typeof View>;
export type Certainty = z.infer<typeof Certainty>;
export type Arm = z.infer<typeof Arm>;
export type Side = z.infer<typeof Side>;

export const Because = z
  .object({ code: z.string(), text: z.string() })
  .meta({ id: 'Because', description: 'The rule or fact that gave the reason, and the reason in words.' });
export type Because = z.infer<typeof Because>;
