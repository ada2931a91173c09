/** POST /v1/squads: many swimmers, some lanes; groups with a shared focus and one session each. */
import { z } from 'zod';
import { Caution, Drill, Message, Restriction, Session } from './answer.ts';
import { Because, Code, Level } from './common.ts';
import { AssessmentRequest, Recording, Swimmer } from './request.ts';

/** What one request may ask at most; a squad that is larger swims in several sessions anyway. */
export const SQUAD_LIMITS = { members: 500, lanes: 20 } as const;

export const SquadMember = AssessmentRequest.extend({
  swimmer: Swimmer.extend({
    ref: z
      .string()
      .min(1)
      .max(64)
      .describe("The caller's own reference, different for every member. Never a name."),
  }).meta({
    id: 'SquadSwimmer',
    description: 'A swimmer of a squad: the reference and the level are required.',
  }),
}).meta({
  id: 'SquadMember',
  description:
    "The record of one swimmer, as POST /v1/assessments takes it. Its options are not used: the squad's own minutes count.",
});

const size = z.int().min(1).max(SQUAD_LIMITS.members);
export const GroupSize = z
  .strictObject({ min: size.optional(), max: size.optional() })
  .refine(({ min, max }) => min === undefined || max === undefined || min <= max, {
    message: 'min must not be larger than max',
    path: ['min'],
    params: { code: 'out-of-order' },
  })
  .meta({
    id: 'GroupSize',
    description: 'Swimmers in a group. Left out: near to an even share of the lanes, one more or less.',
  });

export const SquadRequest = z
  .strictObject({
    requestId: AssessmentRequest.shape.requestId,
    metadata: AssessmentRequest.shape.metadata,
    ruleSet: AssessmentRequest.shape.ruleSet.describe(
      'One rule set for all members; a member may name it again but no other one.',
    ),
    lanes: z.int().min(1).max(SQUAD_LIMITS.lanes).describe('Lanes at hand: the most groups there can be.'),
    minutes: z.int().min(15).max(180).describe('Length of the session.'),
    equipment: z
      .array(Code)
      .max(20)
      .optional()
      .describe(
        'Aids at the pool, enough for a whole lane; a member may bring more. Left out: not known, no drill is dropped for a missing aid.',
      ),
    pool: Recording.shape.pool.describe(
      'Where the session is swum. Left out: as the records say when they agree, else 25 m.',
    ),
    options: z.strictObject({ groupSize: GroupSize.optional() }).optional().meta({ id: 'SquadOptions' }),
    members: z.array(SquadMember).min(1).max(SQUAD_LIMITS.members),
  })
  .meta({ id: 'SquadRequest', description: 'A squad, the lanes and the time at hand.' });

const PointValue = z.number();
export const Points = z
  .object({
    focus: PointValue.describe(
      "Sum over the members of the focus probability, times the rule set's share where it is their second focus.",
    ),
    outside: PointValue.describe('Cost of members whose own focus is another one.'),
    levels: PointValue.describe('Cost of members above the lowest level of the group.'),
    ages: PointValue.describe('Cost of minors and adults in one group.'),
    paces: PointValue.describe(
      'Cost of members who are slower than the fastest of the group beyond the tolerance.',
    ),
    size: PointValue.describe('Cost of the distance from an even share of the lanes.'),
    total: PointValue.describe('focus less the costs.'),
  })
  .meta({ id: 'SquadPoints', description: 'What the grouping is worth, line by line; the lines add up.' });

export const Note = z
  .object({
    kind: z.enum(['focus', 'side', 'cue', 'drill', 'caution', 'ache', 'record', 'coach']),
    code: z.string(),
    text: z.string(),
  })
  .meta({ id: 'SquadNote', description: 'One line for one swimmer.' });

export const Swap = z
  .object({
    drill: z.string(),
    name: z.string(),
    because: Because,
    instead: z
      .object({ drill: z.string(), name: z.string(), cue: z.string(), dose: z.string() })
      .nullable()
      .describe('null: nothing in the rule set fits; swims easy instead.'),
  })
  .meta({
    id: 'SquadSwap',
    description: 'A drill of the session that one swimmer leaves out, and what to do instead.',
  });

export const PLACES = ['first-focus', 'second-focus', 'outside', 'no-focus'] as const;

export const GroupMember = z
  .object({
    ref: z.string(),
    requestId: z.string().optional(),
    metadata: z.record(z.string(), z.string()).optional(),
    level: Level,
    place: z.enum(PLACES).describe("How the focus of the group stands in the swimmer's own focus."),
    because: Because.describe('Why the swimmer is in this group.'),
    notes: z.array(Note),
    swaps: z.array(Swap),
    excludedDrills: z
      .array(z.object({ code: z.string(), reason: z.string(), text: z.string() }))
      .describe(
        'Ruled out for this swimmer by health, age or the coach, also where the session does not use them.',
      ),
  })
  .meta({ id: 'SquadGroupMember' });

export const GroupFocus = z
  .object({
    cause: z.string(),
    label: z.string(),
    side: z.enum(['body', 'left', 'right', 'both']).describe('both: not the same side for all members.'),
    costs: z.string().describe('What it costs the swimmer, in words.'),
    because: Because,
  })
  .meta({ id: 'SquadFocus' });

export const Group = z
  .object({
    lane: z.int(),
    level: Level.describe('The lowest level in the group: the session is pitched at it.'),
    focus: GroupFocus.nullable().describe('null: no member has anything to change.'),
    second: GroupFocus.nullable().describe(
      'Another focus that some members share; the last drills serve it. The grouping does not count it.',
    ),
    members: z.array(GroupMember),
    drills: z.array(Drill),
    session: Session,
    points: Points,
    messages: z.array(Message),
  })
  .meta({ id: 'SquadGroup' });

export const Apart = z
  .object({
    ref: z.string(),
    requestId: z.string().optional(),
    metadata: z.record(z.string(), z.string()).optional(),
    status: z
      .enum(['stop', 'refer'])
      .describe('stop: not in the water. refer: a clinician first; only the session given here, if any.'),
    because: Because,
    restrictions: z.array(Restriction),
    drills: z.array(Drill),
    session: Session.nullable().describe('What is free of pain and not ruled out; null after a stop.'),
  })
  .meta({ id: 'SquadApart', description: 'A swimmer who is in no group, and why.' });

export const SquadCaution = Caution.omit({ because: true })
  .extend({ members: z.array(z.string()).describe('Whom it is about.') })
  .meta({ id: 'SquadCaution' });

export const SquadAnswer = z
  .object({
    decisionId: z.string().describe('SHA-256 over the canonical squad, the rule set and the engine.'),
    requestId: z.string().optional(),
    metadata: z.record(z.string(), z.string()).optional(),
    ruleSet: z.object({ name: z.string(), version: z.string(), digest: z.string() }),
    summary: z.string(),
    minutes: z.int(),
    lanes: z.int(),
    groups: z.array(Group),
    apart: z.array(Apart),
    cautions: z.array(SquadCaution),
    grouping: z
      .object({
        method: z
          .enum(['exact', 'search'])
          .describe('exact: no grouping is worth more. search: the best that a search found.'),
        groupSize: z.object({ min: z.int(), max: z.int(), even: z.number() }),
        levelBreaks: z
          .int()
          .describe(
            'Novice and advanced swimmers who have to share a lane; kept as low as can be before anything else.',
          ),
        points: Points,
      })
      .meta({ id: 'SquadGrouping' }),
    messages: z.array(Message),
  })
  .meta({ id: 'SquadAnswer' });

export type SquadRequest = z.infer<typeof SquadRequest>;
export type SquadMember = z.infer<typeof SquadMember>;
export type SquadAnswer = z.infer<typeof SquadAnswer>;
export type Points = z.infer<typeof Points>;
export type Note = z.infer<typeof Note>;
export type Swap = z.infer<typeof Swap>;
export type GroupMember = z.infer<typeof GroupMember>;
export type GroupFocus = z.infer<typeof GroupFocus>;
export type Group = z.infer<typeof Group>;
export type Apart = z.infer<typeof Apart>;
export type SquadCaution = z.infer<typeof SquadCaution>;
export type Place = (typeof PLACES)[number];
