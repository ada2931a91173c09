/** What an assessment answers. Clients must ignore fields and codes they do not know: answers may gain both. */
import { z } from 'zod';
import { Because, Side } from './common.ts';
import { Measured } from './measured.ts';

const Ref = z.object({ code: z.string(), side: Side });
const CauseRef = z.object({ cause: z.string(), side: Side });
const Share = z.number().min(0).max(1);

export const Restriction = z.object({ bodyPart: z.string(), side: Side, because: Because }).meta({
  id: 'Restriction',
  description: 'A body part that a clinician should see first. Every drill that loads it is out.',
});

const WeighedBand = z.object({
  band: z.enum(['clear', 'near', 'slight', 'moderate', 'marked']),
  share: Share.describe('Chance that the true value lies in this band.'),
  db: z.number().describe('What the report would count if it certainly did.'),
});

export const Report = z
  .object({
    kind: z.enum(['observed', 'measured', 'opposite', 'excluded']),
    source: z.string().describe('Code of the observation or measurement.'),
    db: z.number().describe('Positive speaks for present, negative for absent.'),
    limitedByView: z.boolean().describe('The view took some of the weight.'),
    value: z.number().optional().describe('measured: the value.'),
    standardDeviation: z.number().optional().describe('measured: left out, the value counted as exact.'),
    bands: z
      .array(WeighedBand)
      .optional()
      .describe('measured: the sum of share times db is the db of the report, before the view.'),
  })
  .meta({
    id: 'Report',
    description:
      'What one entry of the record says about a finding. Reports that say the same count 1, 1/2, 1/4 ... from the weightiest on; those for the finding minus those against give its reportDb.',
  });

export const Finding = z
  .object({
    code: z.string(),
    label: z.string(),
    side: Side,
    severity: z
      .int()
      .min(0)
      .max(3)
      .describe('Of the weightiest report for it; the likeliest grade of a measured value.'),
    status: z.enum(['present', 'absent']),
    belief: Share.describe('Probability that it is really there, from all reports and the causes.'),
    reportDb: z
      .number()
      .describe('Weight of all reports together, +20 to -20 dB; positive speaks for present.'),
    from: z.array(z.enum(['observed', 'measured', 'opposite', 'excluded'])),
    reports: z.array(Report),
    conflict: z.boolean().describe('Reports for and against, both of at least 5 dB.'),
  })
  .meta({ id: 'Finding' });

export const Strength = z
  .object({ code: z.string(), label: z.string(), side: Side, severity: z.int().min(1).max(3) })
  .meta({ id: 'Strength', description: 'Something that works and should be kept.' });

export const ConditionValue = z
  .object({
    fact: z.string(),
    operator: z.string(),
    value: z.unknown(),
    actual: z.unknown().describe('null: not assessed.'),
    state: z.enum(['true', 'false', 'unknown']),
  })
  .meta({ id: 'ConditionValue' });

export const TrailLine = z
  .object({
    kind: z.enum(['prior', 'driver', 'clue', 'counter', 'meta', 'finding', 'mechanism', 'limit']),
    db: z.number().describe('What this line adds, in decibans. The lines of a cause add up to its totalDb.'),
    text: z.string(),
    rule: z.string().optional(),
    code: z.string().optional().describe('The finding, mechanism or driving cause that the line is about.'),
    side: Side.optional(),
    probability: Share.optional().describe('prior: share of swimmers of this level with the cause.'),
    direct: z.boolean().optional().describe('The finding is the cause itself, seen directly.'),
    shows: z.string().optional(),
    backgroundWord: z.string().optional(),
    reportDb: z.number().optional().describe('Weight of the reports on the finding.'),
    leak: Share.optional().describe('How often the finding is there with none of its causes.'),
    background: Share.optional().describe('The same with the other causes as likely as they are here.'),
    seenIfCause: Share.optional(),
    q: Share.optional().describe('Chance that the cause alone brings the finding about.'),
    certainDb: z.number().optional(),
    aloneDb: z.number().optional().describe('Weight if no other cause were possible.'),
    explainedDb: z.number().optional().describe('Weight after the other causes took their share.'),
    groupFactor: z.number().optional().describe('Share counted when several lines say the same thing.'),
    explainedBy: z
      .array(z.object({ cause: z.string(), side: Side, probabilityWithout: Share, q: Share }))
      .optional(),
    strength: z.string().optional(),
    weight: z.number().optional().describe('Severity times certainty of the conditions of a fixed line.'),
    conditions: z.array(ConditionValue).optional(),
  })
  .meta({ id: 'TrailLine' });

export const Cause = z
  .object({
    code: z.string(),
    label: z.string(),
    side: Side,
    kind: z.string(),
    cost: z.enum(['resistance', 'propulsion', 'timing', 'comfort']),
    probability: Share,
    range: z
      .object({ low: Share, high: Share })
      .describe('90 % range from the stated vagueness of the rules; not a confidence interval from data.'),
    probabilityWord: z.string(),
    assessedShare: Share.describe('Share of the telling findings that was looked at.'),
    rejectedByCoach: z.string().optional(),
    explains: z.array(Ref),
    drivenBy: z.array(CauseRef),
    totalDb: z.number(),
    trail: z.array(TrailLine),
  })
  .meta({ id: 'Cause' });

const Lost = z.object({ observation: z.string(), share: Share, text: z.string() });
export const PhaseScore = z
  .discriminatedUnion('status', [
    z.object({
      status: z.literal('scored'),
      estimate: z.int().describe('At most this much, by eye, rounded to 5. Never a measurement.'),
      low: z.int(),
      high: z.int(),
      lost: z.array(Lost),
      assessed: z.array(z.string()),
      notAssessed: z.array(z.string()),
    }),
    z.object({ status: z.literal('not-scorable'), because: z.array(Because) }),
  ])
  .meta({ id: 'PhaseScore' });
const ArmScores = z.object({ catch: PhaseScore, pull: PhaseScore, push: PhaseScore, arm: PhaseScore });
export const Efficiency = z.object({ left: ArmScores, right: ArmScores, difference: PhaseScore }).meta({
  id: 'Efficiency',
  description:
    "Percent of this swimmer's own best arm stroke, estimated by eye. It is not propelling (Froude) efficiency and does not compare swimmers. difference: right minus left; a gap under 10 is no difference.",
});

export const Focus = z
  .object({
    cause: z.string(),
    label: z.string(),
    side: z.enum(['body', 'left', 'right', 'both']),
    priority: z.number(),
    probability: Share.nullable(),
    because: z.array(z.string()),
    chosenBy: z.enum(['rules', 'coach']),
  })
  .meta({ id: 'Focus' });

export const Drill = z
  .object({
    code: z.string(),
    name: z.string(),
    purpose: z.string(),
    gain: z.number().describe('Expected points that this drill adds to those before it; the gains add up.'),
    for: z.array(z.object({ cause: z.string(), side: Side, share: Share, text: z.string() })),
    phases: z.array(z.string()),
    loads: z.array(z.string()),
    equipment: z.array(z.string()).describe('One of these is needed; empty: none.'),
    steps: z.array(z.string()),
    cues: z.array(z.string()),
    selfCheck: z.string(),
    commonErrors: z.array(z.string()),
    dose: z.string(),
    perWeek: z.string(),
    progression: z.string(),
    regression: z.string(),
    cautions: z.array(z.string()),
    slot: z.string(),
  })
  .meta({ id: 'Drill' });

export const ExcludedDrill = z
  .object({ code: z.string(), name: z.string(), reason: z.string(), rule: z.string(), text: z.string() })
  .meta({ id: 'ExcludedDrill' });

export const Session = z
  .object({
    template: z.string(),
    minutes: z.int(),
    note: z.string(),
    blocks: z.array(
      z.object({
        slot: z.string(),
        label: z.string().describe('The slot in words.'),
        minutes: z.number(),
        items: z.array(
          z.object({
            drill: z.string().optional(),
            text: z.string(),
            minutes: z
              .int()
              .optional()
              .describe(
                'Of a drill and the swimming that belongs to it; in the technique block they add up.',
              ),
            repeats: z.int().optional().describe('How many fit into these minutes.'),
          }),
        ),
      }),
    ),
  })
  .meta({ id: 'Session' });

const CauseBelief = z.object({ cause: z.string(), side: Side, probability: Share });
const LookOutcome = z.object({ probability: Share, causes: z.array(CauseBelief) });
export const NextLook = z
  .object({
    code: z.string(),
    label: z.string(),
    side: Side,
    view: z.string(),
    probability: Share.describe('Chance that the look shows it.'),
    bits: z.number().describe('Expected gain of certainty about the causes in play.'),
    wouldChangeAdvice: z
      .boolean()
      .describe('True when the status or the focus would differ, seen or not seen.'),
    because: z.string(),
    ifPresent: LookOutcome,
    ifAbsent: LookOutcome,
    now: z
      .array(CauseBelief)
      .describe('The causes in play as they stand; the bits follow from these three lists.'),
  })
  .meta({ id: 'NextLook' });

export const Caution = z
  .object({
    code: z.string(),
    class: z.enum(['stop-now', 'refer', 'never', 'condition', 'modify']),
    label: z.string(),
    text: z.string(),
    because: z.array(Because),
  })
  .meta({ id: 'Caution' });

export const Message = z
  .object({
    severity: z.enum(['info', 'warning']),
    code: z.string(),
    about: z.object({ code: z.string().optional(), side: Side.optional(), view: z.string().optional() }),
    text: z.string(),
  })
  .meta({ id: 'Message' });

export const RuleState = z
  .object({
    id: z.string(),
    stage: z.string(),
    side: Side,
    state: z.enum(['fired', 'not-fired', 'unknown']),
    conditions: z.array(ConditionValue),
  })
  .meta({ id: 'RuleState' });

const RuleSetRef = z.object({ name: z.string(), version: z.string(), digest: z.string() });

const Head = {
  decisionId: z
    .string()
    .describe(
      'SHA-256 over the canonical request, the rule set and the engine: the same question has the same id.',
    ),
  requestId: z.string().optional(),
  metadata: z.record(z.string(), z.string()).optional(),
  ruleSet: RuleSetRef,
  summary: z.string(),
  cautions: z.array(Caution),
  messages: z.array(Message),
};

/** A stop holds cautions and nothing else. */
export const StopAnswer = z
  .object({ ...Head, status: z.literal('stop') })
  .meta({ id: 'StopAnswer', description: 'A health sign stops everything: only the cautions are given.' });

export const FullAnswer = z
  .object({
    ...Head,
    status: z.enum(['refer', 'ask-more', 'ok']),
    restrictions: z.array(Restriction),
    findings: z.array(Finding),
    strengths: z.array(Strength),
    causes: z.array(Cause),
    mechanisms: z.array(Cause),
    efficiency: Efficiency,
    focus: z.array(Focus),
    drills: z.array(Drill),
    excludedDrills: z.array(ExcludedDrill),
    session: Session,
    nextLooks: z.array(NextLook),
    measured: Measured.optional().describe(
      'Only where raw was sent: what it came out as. The measurements count as if they had been sent as such.',
    ),
    trail: z.object({ rules: z.array(RuleState), method: z.string(), sweeps: z.int() }),
  })
  .meta({ id: 'FullAnswer' });

export const AssessmentAnswer = z
  .discriminatedUnion('status', [StopAnswer, FullAnswer])
  .meta({ id: 'AssessmentAnswer' });

export type Restriction = z.infer<typeof Restriction>;
export type Report = z.infer<typeof Report>;
export type Finding = z.infer<typeof Finding>;
export type Strength = z.infer<typeof Strength>;
export type ConditionValue = z.infer<typeof ConditionValue>;
export type TrailLine = z.infer<typeof TrailLine>;
export type Cause = z.infer<typeof Cause>;
export type PhaseScore = z.infer<typeof PhaseScore>;
export type Efficiency = z.infer<typeof Efficiency>;
export type Focus = z.infer<typeof Focus>;
export type Drill = z.infer<typeof Drill>;
export type ExcludedDrill = z.infer<typeof ExcludedDrill>;
export type Session = z.infer<typeof Session>;
export type NextLook = z.infer<typeof NextLook>;
export type Caution = z.infer<typeof Caution>;
export type Message = z.infer<typeof Message>;
export type RuleState = z.infer<typeof RuleState>;
export type AssessmentAnswer = z.infer<typeof AssessmentAnswer>;
export type FullAnswer = z.infer<typeof FullAnswer>;
export type StopAnswer = z.infer<typeof StopAnswer>;
