/**
 * Raw timings, positions and landmarks: the block that POST /v1/measurements turns into measurements, and that an
 * assessment takes as `raw`.
 */
import { z } from 'zod';
import { Arm } from './common.ts';
import { Landmarks } from './landmarks.ts';

/** Exact since the international agreement of 1959. */
export const METRES_PER_YARD = 0.9144;

const SecondsOfDay = z.number().min(0).max(86_400);
const Frame = z.int().min(0).max(10_000_000);
const Metres = z.number().min(0.1).max(20_000);
const Yards = z.number().min(0.1).max(20_000);

const WHEN = {
  time: SecondsOfDay.optional().describe('Seconds from any moment, the same for the whole request.'),
  frame: Frame.optional().describe(
    'Number of the frame instead of a time; the request then needs frameRate.',
  ),
};

type Issue = (path: PropertyKey[], code: string, message: string) => void;

/** Gives every check the same way to name a place, a code and a reason. */
const checked =
  <T>(check: (value: T, issue: Issue) => void) =>
  (value: T, ctx: z.core.$RefinementCtx<T>): void =>
    check(value, (path, code, message) =>
      ctx.addIssue({ code: 'custom', path, message, params: { code }, input: value }),
    );

function oneMoment(value: { time?: number | undefined; frame?: number | undefined }, issue: Issue): void {
  if (value.time === undefined && value.frame === undefined)
    issue([], 'required', 'needs a time in seconds or a frame');
  if (value.time !== undefined && value.frame !== undefined)
    issue(['frame'], 'not-allowed', 'give the time or the frame, not both');
}

interface Distance {
  readonly metres?: number | undefined;
  readonly yards?: number | undefined;
}

function oneDistance(value: Distance, issue: Issue): void {
  if (value.metres === undefined && value.yards === undefined)
    issue([], 'required', 'needs a distance in metres or in yards');
  if (value.metres !== undefined && value.yards !== undefined)
    issue(['yards'], 'not-allowed', 'give metres or yards, not both');
}

export const EVENT_KINDS = ['entry', 'pull-start', 'mid-pull', 'exit', 'pause-start', 'pause-end'] as const;

export const StrokeEvent = z
  .strictObject({
    arm: Arm.describe(
      "The swimmer's own arm. One entry is one arm stroke; a cycle lasts from an entry to the next entry of the same hand.",
    ),
    kind: z
      .enum(EVENT_KINDS)
      .describe(
        'entry: the hand enters the water. pull-start: the hand first moves backward. mid-pull: the hand passes under the shoulder. exit: the hand leaves the water. pause-start and pause-end: in the recovery, the hand stops moving forward and moves on.',
      ),
    ...WHEN,
    metres: z
      .number()
      .min(-100)
      .max(20_000)
      .optional()
      .describe('Where the swimmer was along the lane at that moment (always the same body point).'),
  })
  .superRefine(checked(oneMoment))
  .meta({ id: 'StrokeEvent', description: 'One marked moment of one arm.' });

const PoolLength = z
  .strictObject({
    metres: Metres.optional().describe('Timed distance: a pool length, or the distance between two marks.'),
    yards: Yards.optional().describe('The same in yards, instead of metres.'),
    seconds: z.number().min(0.1).max(3600).describe('Time for that distance.'),
    armStrokes: z
      .int()
      .min(1)
      .max(1000)
      .optional()
      .describe('Every hand entry, both arms. Two arm strokes are one cycle.'),
    pushOffMetres: z
      .number()
      .min(0)
      .max(30)
      .optional()
      .describe(
        'How far the push-off carried before the first arm stroke. 0 for a distance between two marks in mid-pool. Left out: not known, and speed and stroke length then come out too high.',
      ),
    pushOffYards: z
      .number()
      .min(0)
      .max(30)
      .optional()
      .describe('The same in yards, instead of pushOffMetres.'),
    pushOffSeconds: z
      .number()
      .min(0)
      .max(30)
      .optional()
      .describe('Time from the start to the first arm stroke.'),
    strokeRate: z
      .number()
      .min(1)
      .max(300)
      .optional()
      .describe('Full cycles per minute from a stroke-rate watch; not arm strokes.'),
  })
  .superRefine(
    checked((length, issue) => {
      oneDistance(length, issue);
      const { pushOffMetres, pushOffYards, pushOffSeconds } = length;
      if (pushOffMetres !== undefined && pushOffYards !== undefined)
        issue(['pushOffYards'], 'not-allowed', 'give metres or yards, not both');
      const distance = pushOffMetres ?? pushOffYards;
      if (distance !== undefined && distance > 0 && pushOffSeconds === undefined)
        issue(['pushOffSeconds'], 'required', 'is required with the push-off distance');
      if (distance === undefined && pushOffSeconds !== undefined)
        issue(['pushOffMetres'], 'required', 'is required with the push-off time');
      const whole = length.metres ?? (length.yards ?? 0) * METRES_PER_YARD;
      const pushed = pushOffMetres ?? (pushOffYards ?? 0) * METRES_PER_YARD;
      const field = pushOffMetres === undefined ? 'pushOffYards' : 'pushOffMetres';
      if (whole > 0 && pushed >= whole) issue([field], 'too-big', 'must be shorter than the length');
      if ((pushOffSeconds ?? 0) >= length.seconds)
        issue(['pushOffSeconds'], 'too-big', 'must be less than the time of the length');
    }),
  )
  .meta({ id: 'PoolLength', description: 'One length, or one timed stretch of clean swimming.' });

export const SWIM_KINDS = ['maximal', 'kick', 'buoy', 'no-buoy'] as const;

const TimedSwim = z
  .strictObject({
    metres: Metres.optional().describe('Distance of the swim.'),
    yards: Yards.optional().describe('The same in yards, instead of metres.'),
    seconds: z.number().min(1).max(36_000).describe('Final time.'),
    kind: z
      .enum(SWIM_KINDS)
      .optional()
      .describe(
        'maximal (left out: this one): all-out, full stroke; two distances or more give the critical speed. kick: legs only with a board and no fins. buoy and no-buoy: repeats at equal effort with and without a pull buoy.',
      ),
    splits: z
      .array(z.number().min(0.1).max(36_000))
      .min(2)
      .max(400)
      .optional()
      .describe('Clock times at equal parts of the distance; the last one is the final time.'),
  })
  .superRefine(
    checked((swim, issue) => {
      oneDistance(swim, issue);
      const { splits } = swim;
      if (splits === undefined) return;
      splits.forEach((time, i) => {
        if (i > 0 && time <= (splits[i - 1] as number))
          issue(
            ['splits', i],
            'out-of-order',
            'clock times must rise; give the time since the start, not the lap',
          );
      });
      if (Math.abs((splits.at(-1) as number) - swim.seconds) > 0.05)
        issue(['splits', splits.length - 1], 'not-allowed', 'the last split must be the final time');
    }),
  )
  .meta({ id: 'TimedSwim', description: 'One test swim against the clock.' });

const Positions = z
  .strictObject({
    point: z
      .enum(['hip', 'head', 'centre-of-mass'])
      .describe('The tracked point. Values of different points must not be mixed.'),
    samples: z
      .array(
        z
          .strictObject({
            ...WHEN,
            metres: z.number().min(-100).max(20_000).describe('Distance along the lane.'),
          })
          .superRefine(checked(oneMoment)),
      )
      .min(2)
      .max(20_000)
      .describe('Evenly spaced, at least 20 a second; missing samples are left out.'),
  })
  .meta({
    id: 'Positions',
    description:
      'Where one point of the body was, in small steps of time: gives the swings of speed within the cycle. Needs the entries of one hand among the events.',
  });

const WhatIf = z
  .strictObject({
    change: z
      .enum(['resistance', 'efficiency'])
      .describe(
        'resistance: drag at one speed. efficiency: share of the power that drives the swimmer forward.',
      ),
    percent: z.number().min(-60).max(100).describe('Change in percent: -10 is a tenth less.'),
    paceSecondsPer100: z
      .number()
      .min(30)
      .max(600)
      .optional()
      .describe('Pace that it is counted from. Left out: the measured speed.'),
  })
  .meta({ id: 'WhatIf', description: 'A change whose worth is asked for. The answer is an upper bound.' });

export const RAW_FIELDS = {
  frameRate: z
    .number()
    .min(1)
    .max(2000)
    .optional()
    .describe(
      'Frames per second of the film. Required as soon as anything is given in frames; never guessed.',
    ),
  events: z
    .array(StrokeEvent)
    .max(5000)
    .optional()
    .describe('Marked moments of each arm over any number of cycles, in any order.'),
  lengths: z.array(PoolLength).max(400).optional().describe('Timed lengths of one set, first to last.'),
  timedSwims: z.array(TimedSwim).max(100).optional().describe('Test swims, in any order.'),
  positions: Positions.optional(),
  landmarks: Landmarks.optional(),
  whatIf: z.array(WhatIf).max(20).optional(),
  swimmer: z
    .strictObject({
      heightM: z.number().min(0.8).max(2.5).optional(),
      armLengthM: z.number().min(0.3).max(1.2).optional().describe('Shoulder joint to fingertip.'),
      shoulderToHandM: z
        .number()
        .min(0.2)
        .max(1.2)
        .optional()
        .describe(
          'Mean distance from shoulder to hand under water, if it was measured: 0.5 to 0.6 in adults.',
        ),
    })
    .optional(),
  options: z
    .strictObject({
      series: z.boolean().optional().describe('true: the angles of the landmarks frame by frame as well.'),
    })
    .optional(),
};

type Fields = z.infer<z.ZodObject<typeof RAW_FIELDS>>;

/** How long a frame lasts is never guessed. */
export const frameRateGiven = checked((raw: Fields, issue: Issue): void => {
  if (raw.frameRate !== undefined) return;
  const given = [
    ...(raw.events?.some((e) => e.frame !== undefined) ? ['events'] : []),
    ...(raw.positions?.samples.some((s) => s.frame !== undefined) ? ['positions'] : []),
    ...(raw.landmarks === undefined ? [] : ['landmarks']),
  ];
  if (given.length > 0)
    issue(
      ['frameRate'],
      'required',
      `is required: ${given.join(' and ')} count frames, and their rate is never guessed`,
    );
});

export const RawData = z.strictObject(RAW_FIELDS).superRefine(frameRateGiven).meta({
  id: 'RawData',
  description:
    'Raw timings, positions and landmarks, each kind alone or together. Times in seconds or frames, distances in metres or yards.',
});

export type RawData = z.infer<typeof RawData>;
export type StrokeEvent = z.infer<typeof StrokeEvent>;
export type PoolLength = z.infer<typeof PoolLength>;
export type TimedSwim = z.infer<typeof TimedSwim>;
export type Positions = z.infer<typeof Positions>;
export type WhatIf = z.infer<typeof WhatIf>;
