/** The numbers behind the words of a rule set: how often, how sure, how strong, how much a change must be. */
import { z } from 'zod';
import { CERTAINTIES, Code, LEVELS, View } from '../../contract/common.ts';
import { PlanNumbers } from './plans.ts';
import { Mark, Share } from './shared.ts';

const wordShares = z.record(Code, Share);
const bins = z.record(Code, z.tuple([Share, Share]));
const perCertainty = z.strictObject(
  Object.fromEntries(CERTAINTIES.map((c) => [c, z.number()])) as Record<
    (typeof CERTAINTIES)[number],
    z.ZodNumber
  >,
);
const perLevel = Object.fromEntries(LEVELS.map((l) => [l, z.number().positive()])) as Record<
  (typeof LEVELS)[number],
  z.ZodNumber
>;
export const Constants = z.strictObject({
  mark: Mark,
  words: z.strictObject({
    shows: wordShares,
    background: wordShares,
    prior: wordShares,
    strength: z.record(Code, z.number()),
  }),
  bins: z.strictObject({ shows: bins, background: bins }),
  reports: z.strictObject({
    certaintyDb: z.strictObject({ filmed: perCertainty, asked: perCertainty }),
    severityCapDb: z.tuple([z.number().nullable(), z.number().nullable(), z.number().nullable()]),
    goodCapDb: z.tuple([z.number(), z.number(), z.number()]),
    viewCapDb: z.strictObject({ partial: z.number(), poor: z.number(), 'cannot-show': z.number() }),
    nearSideDb: z.number(),
    discount: Share,
    limitDb: z.number(),
    conflictDb: z.number(),
    contradictionDb: z.number(),
  }),
  adjustments: z.strictObject({
    severityFactor: z.tuple([z.number(), z.number(), z.number(), z.number()]),
    certaintyFactor: perCertainty,
  }),
  propagation: z.strictObject({
    groupDiscount: Share,
    ties: z
      .enum(['share', 'first'])
      .describe('share: two sides that say the same share one line; first: the left one takes it.'),
    toleranceDb: z.number().min(1e-12).max(1),
    damping: Share,
    maxSweeps: z.int().min(1).max(2000),
    maxRuns: z.int().min(1).max(20),
    slowDamping: Share,
    slowMaxSweeps: z.int().min(1).max(5000),
    limitDb: z.number(),
  }),
  range: z.strictObject({ wordHalfWidthDb: z.number(), sharedBias: Share }),
  probabilityWords: z.array(z.strictObject({ word: z.string(), from: Share })).min(2),
  listing: z.strictObject({ probability: Share, ownEvidenceDb: z.number() }),
  efficiency: z.strictObject({
    weights: z.strictObject({ catch: Share, pull: Share, push: Share }),
    floor: Share,
    cap: z.number(),
    roundTo: z.number().positive(),
    differenceFrom: z.number(),
    reserve: z.strictObject({ good: z.number(), usual: z.number(), oneView: z.number() }),
    breathStrokeShare: z.strictObject({ estimate: Share, low: Share }),
    views: z.strictObject({ catch: z.array(View), pull: z.array(View), push: z.array(View) }),
  }),
  focus: z.strictObject({ ease: z.record(Code, z.number()), candidateFrom: Share }),
  drills: z.strictObject({
    effectShare: z.tuple([Share, Share, Share, Share]),
    otherCauseWeight: Share,
    propulsionGate: Share,
    worseSideShare: Share,
  }),
  sessions: z.strictObject({
    secondsPer25: z
      .strictObject(perLevel)
      .describe('Easy swimming, where the record has no easy or steady pace.'),
    drillPace: z.number().min(1).describe('A drill takes this many times as long as easy swimming.'),
  }),
  change: z.strictObject({
    severitySteps: z.strictObject({ sameJudge: z.number(), otherJudge: z.number() }),
    efficiencyPoints: z.number(),
    pacePercent: z.number(),
    probability: Share,
    fewestRepeats: z.int().min(2).describe('Fewer repeats say nothing about their own scatter.'),
    honestTrySessions: z
      .int()
      .min(1)
      .describe('Sessions of a focus before its lack of change means something.'),
    nextFilmWeeks: z.number().min(1),
  }),
  agreement: z.strictObject({
    redefineBelow: Share,
    holdsFrom: Share,
    oneSidedFrom: Share,
    fewestItems: z.int().min(2),
  }),
  squad: z
    .strictObject({
      secondFocus: Share.describe('What a second focus counts, where the first counts 1.'),
      outside: z.number().describe('Cost of a swimmer whose own focus is another one.'),
      levelStep: z.number().describe('Cost of a swimmer for each level above the lowest of the group.'),
      minorsWithAdults: z.number().describe('Cost for each swimmer of the smaller party.'),
      paceTolerance: Share.describe('Slower than the fastest by this share costs nothing.'),
      pace: z.number().describe('Cost for each whole share beyond the tolerance.'),
      paceMost: z.number().describe('Most that the pace of one swimmer costs.'),
      size: z.number().describe('Cost times the squared distance from an even share.'),
      spread: z.int().min(0).describe('How far groups may be from an even share when no size is asked for.'),
      crowdedFrom: z.int().describe('From this many swimmers on, a lane swims in two waves.'),
    })
    .describe('How lane groups of a squad are weighed; one swimmer in his own first focus is worth up to 1.'),
  plans: PlanNumbers,
  nextLook: z.strictObject({
    severity: z.int().min(1).max(3),
    certainty: z.enum(CERTAINTIES),
    candidates: z.int().min(0).max(200),
  }),
});

export type Constants = z.infer<typeof Constants>;
