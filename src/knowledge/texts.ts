/** The words of a rule set in one language. Codes and numbers live in the parts; this file is all that a translator touches. */
import { z } from 'zod';

const Text = z.string().min(1).max(1500);
const byCode = <T extends z.ZodType>(entry: T) => z.record(z.string(), entry);

export const Texts = z.strictObject({
  language: z.string().min(2).max(10),
  observations: byCode(
    z.strictObject({
      label: Text,
      anchors: z.tuple([Text, Text, Text]),
      sideMeans: Text.optional(),
      howToJudge: Text,
    }),
  ),
  qualityFlags: byCode(z.strictObject({ label: Text, effect: Text })),
  lists: z
    .strictObject({
      healthSigns: byCode(Text),
      painSites: byCode(Text),
      painFeatures: byCode(Text),
      conditions: byCode(Text),
      bodyParts: byCode(Text),
      equipment: byCode(Text),
      views: byCode(Text),
      goals: byCode(Text),
      levels: byCode(Text),
      slots: byCode(Text),
    })
    .describe(
      'Each word of the fixed lists, in words that the swimmer can answer to. Body parts and equipment also stand inside sentences.',
    ),
  measurements: byCode(z.strictObject({ label: Text, definition: Text, howToTake: Text })),
  changeLimits: byCode(Text).describe('Under which conditions the smallest believable change holds.'),
  findings: byCode(z.strictObject({ label: Text })),
  causes: byCode(z.strictObject({ label: Text, costs: Text, change: Text })),
  links: byCode(Text),
  drivers: byCode(Text),
  modifiers: byCode(Text),
  reports: byCode(Text),
  deductions: byCode(Text),
  principles: byCode(z.strictObject({ title: Text, explanation: Text })),
  drills: byCode(
    z.strictObject({
      name: Text,
      purpose: Text,
      steps: z.array(Text).min(2).max(8),
      cues: z.array(Text).min(1).max(4),
      selfCheck: Text,
      commonErrors: z.array(Text).min(1).max(5),
      dose: z.strictObject({ metres25: Text, metres50: Text, yards25: Text }),
      perWeek: Text,
      timeToShow: Text,
      progression: Text,
      regression: Text,
      targets: byCode(Text),
      avoid: byCode(Text),
    }),
  ),
  cautions: byCode(
    z.strictObject({
      label: Text,
      text: Text,
      toSwimmer: Text.optional().describe(
        'The same, said to the swimmer; left out where it is about coaching or filming.',
      ),
    }),
  ),
  cautionRules: byCode(Text),
  gate: byCode(Text),
  exclusions: byCode(Text),
  sufficiency: byCode(Text),
  phrases: byCode(Text).describe('Sentences of summaries and messages; {names} are filled in.'),
  sessions: byCode(z.strictObject({ blocks: byCode(Text), distance: Text, note: Text })),
  goalSets: byCode(Text).describe('What to swim in a main set that follows the goal.'),
  plans: z.strictObject({
    stages: byCode(z.strictObject({ label: Text, aim: Text, how: Text, check: Text, ifNot: Text })),
    checks: byCode(Text),
    goalTests: byCode(Text),
    decisions: byCode(Text),
    rules: byCode(Text).describe('Why the plan is as it is.'),
  }),
  glossary: byCode(Text).describe('Terms of the trade, each in plain words.'),
});
export type Texts = z.infer<typeof Texts>;
