/** What an assessment answers to `Prefer: return=minimal` (RFC 7240): what to do and what to beware of, without the reasons. */
import { z } from 'zod';
import { Drill, FullAnswer, type StopAnswer } from './answer.ts';

export const BriefDrill = Drill.pick({
  code: true,
  name: true,
  dose: true,
  perWeek: true,
  cautions: true,
  slot: true,
}).meta({ id: 'BriefDrill' });

export const MinimalAnswer = FullAnswer.pick({
  decisionId: true,
  requestId: true,
  metadata: true,
  ruleSet: true,
  status: true,
  summary: true,
  cautions: true,
  messages: true,
  restrictions: true,
  focus: true,
})
  .extend({ drills: z.array(BriefDrill) })
  .meta({
    id: 'MinimalAnswer',
    description:
      'The answer to `Prefer: return=minimal`: what to do and what to beware of. Sent again without it, the same request gives the reasons under the same decisionId. A stop is as short as it is.',
  });

export const Preferences = z.object({
  Prefer: z
    .string()
    .optional()
    .describe(
      '`return=minimal` asks for the short answer; `Preference-Applied` says that it was given. Other preferences are passed over (RFC 7240).',
    ),
});

/** The header of the answer, as a plain JSON Schema. */
export const PreferenceApplied = {
  'Preference-Applied': {
    type: 'string',
    const: 'return=minimal',
    description: 'Only where the short answer was asked for.',
  },
} as const;

export type BriefDrill = z.infer<typeof BriefDrill>;
export type MinimalAnswer = z.infer<typeof MinimalAnswer>;

/** @returns a stop as it is. */
export function minimalOf(answer: FullAnswer | StopAnswer): MinimalAnswer | StopAnswer {
  if (answer.status === 'stop') return answer;
  const { decisionId, requestId, metadata, ruleSet, status, summary, cautions, messages } = answer;
  return {
    decisionId,
    ...(requestId === undefined ? {} : { requestId }),
    ...(metadata === undefined ? {} : { metadata }),
    ruleSet,
    status,
    summary,
    cautions,
    messages,
    restrictions: answer.restrictions,
    focus: answer.focus,
    drills: answer.drills.map(({ code, name, dose, perWeek, cautions: own, slot }) => ({
      code,
      name,
      dose,
      perWeek,
      cautions: own,
      slot,
    })),
  };
}
