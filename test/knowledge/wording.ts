/** Words that no text for a coach or a swimmer may use, and the few places that have to use them. */
import { BREATH_HOLDING as BREATH_HOLDING_PATTERNS } from '../../src/authoring/lint/breath-holding.ts';

export interface Ban {
  readonly name: string;
  readonly patterns: readonly RegExp[];
  /** Sentences that the patterns must catch: without them a scan that finds nothing proves nothing. */
  readonly caught: readonly string[];
  /** Sentences that must pass, though they come close. */
  readonly passed: readonly string[];
}

export const BREATH_HOLDING: Ban = {
  name: 'asks to hold the breath or to breathe less',
  patterns: BREATH_HOLDING_PATTERNS,
  caught: [
    'Leave long gaps between breaths.',
    'Ten strokes without a breath.',
    'Hold your breath for six strokes.',
    'Glide with held breath.',
    'Keep the air in until the wall.',
    'Six lengths of breath-holding.',
    'Stop breathing for the last 10 m.',
    'Take fewer breaths on each length.',
    'Skip a breath when you can.',
    'Swim 15 m without a breath.',
    'Swim a length on one breath.',
    'Breathe every fifth stroke.',
    'Breathing every 7 strokes builds the lungs.',
    'Hypoxic set: 8 x 25 m.',
    'Hyperventilate first.',
    'Swim under water to the wall.',
    'Float face down as long as you can.',
  ],
  passed: [
    'Use the side view, on strokes without a breath.',
    'The sound keeps the air flowing.',
    'Breathe whenever you need to.',
    'Hold the line and breathe as usual.',
    'Keep breathing all the way through.',
    'Count bubbles from one breath to the next.',
  ],
};

export const BODY_REMARKS: Ban = {
  name: 'speaks of the weight or the looks of a person',
  patterns: [
    /\bweights?\b|\bover ?weight|\bunder ?weight|\bobes/i,
    /\bfat(?:s|ter|ty|ness)?\b|\bskinny\b|\bslim(?:mer|ming)?\b|\bchubby\b|\bplump\b|\bflabby\b|\bbulky\b|\bstocky\b/i,
    /\bdiet(?:s|ing)?\b|\bcalorie|\bBMI\b|\bbody mass\b|\bkilos?\b|\b\d+ ?kg\b|\bpounds\b/i,
    /\bbody (?:shape|size|type|image)\b|\bphysique\b|\bfigure\b/i,
    /\b(?:thin|lean|heavy|heavier|large|larger|big|bigger|light) (?:person|people|swimmers?|body|bodies|build|men|women|man|woman|legs?|hips?|thighs?|chest|seat)\b/i,
    /\b(?:too|very|so) (?:thin|lean|fat|heavy|big) (?:to|for)\b/i,
    /\blooks? (?:good|bad|nice|better|ugly|pretty|fit|fat|thin|heavy|old|young)\b|\b(?:your|their|his|her) (?:looks|appearance|build|shape|size)\b/i,
    /\bappearance\b|\bugly\b|\bbeautiful|\bpretty\b|\battractive\b|\bhandsome\b|\bshapely\b|\bmuscular\b/i,
  ],
  caught: [
    'Losing weight would help.',
    'An overweight swimmer floats well.',
    'Body fat lifts the hips.',
    'Mind your diet.',
    'At 80 kg the legs sink.',
    'This fits her body shape.',
    'Heavy legs sink.',
    'Too heavy to float level.',
    'The stroke looks ugly.',
    'Your build is wrong for sprints.',
    'A muscular chest.',
  ],
  passed: [
    'Release a thin stream of bubbles.',
    'Lean the chest lightly on the water.',
    'Both catches look alike.',
    'A forced, heavy recovery tires the arm.',
    'Build over 25 m.',
    'Legs have little natural float and tend to sink.',
  ],
};

export const PROMISES: Ban = {
  name: 'promises a time, a gain or a cure',
  patterns: [
    /\b(?:promise|promises|guarantee|guarantees|guaranteed)\b/i,
    /\b(?:will|you'll) (?:be|get|go|swim|become) (?:\w+ )?(?:faster|quicker|fitter|stronger|pain-free)\b/i,
    /\b(?:saves?|gains?|cuts?|takes? off|drops?|knocks? off) (?:you )?(?:up to )?(?:\d+|a few|several) (?:seconds?|s|percent|tenths|minutes)\b/i,
    /\b(?:seconds?|tenths|minutes) (?:off|faster|quicker)\b/i,
    /\bpersonal (?:best|record)\b/i,
    /\b(?:always|never fails?|sure) (?:works?|to work)\b|\bnever fails\b/i,
    /\b(?:cures?|heals?|prevents? (?:injury|injuries|pain))\b/i,
    /^(?:this|it) (?:changes|goes|improves) within\b/i,
  ],
  caught: [
    'Guaranteed to work.',
    'You will be much faster.',
    'This saves 2 seconds in 100 m.',
    'Seconds faster in a week.',
    'A personal best is near.',
    'This drill always works.',
    'It prevents injuries.',
    'This changes within weeks.',
  ],
  passed: [
    '4-7 percent faster with the buoy at equal effort',
    'Stop when the time per length drops off.',
    'Most swimmers see a change within two weeks.',
  ],
};

/** Places that have to name the thing: the text beside each forbids it, or leaves it to comfort, in these words. */
export const FORBIDDEN_THERE: Readonly<Record<string, readonly [text: string, words: RegExp]>> = {
  '/cautions/breath-hold-blackout/label': [
    '/cautions/breath-hold-blackout/text',
    /^Never prescribe any of these\./,
  ],
  '/cautions/breath-hold-blackout/text': [
    '/cautions/breath-hold-blackout/text',
    /^Never prescribe any of these\. No drill here asks for a held breath or for fewer breaths than are comfortable\./,
  ],
  '/cautions/breath-hold-blackout/toSwimmer': [
    '/cautions/breath-hold-blackout/toSwimmer',
    /^Never hold your breath for long, .* Breathe whenever you want to\.$/,
  ],
  '/cautions/pregnancy/text': ['/cautions/pregnancy/text', /\bDo no breath-holds\b/],
  '/cautionRules/breath-hold-blackout': [
    '/cautionRules/breath-hold-blackout',
    /\bmust never turn into breath-hold practice\b/,
  ],
  '/drills/breath-pattern-mix/steps/2': [
    '/drills/breath-pattern-mix/steps/2',
    /\bon every third stroke if that is comfortable\./,
  ],
  '/cautions/body-talk/label': ['/cautions/body-talk/text', /\bNever talk about body weight or shape\./],
  '/cautions/tool-limits/text': ['/cautions/tool-limits/text', /\bno promise of times\b/],
  '/cautions/body-talk/text': ['/cautions/body-talk/text', /\bNever talk about body weight or shape\./],
};

/** What a swimmer does wrong, told to the coach as something to notice; besides every "common error" of a drill. */
export const TOLD_AS_FAULT: readonly string[] = [
  '/links/no-bubbles-face-in--breath-holding',
  '/drivers/water-anxiety--drives--breath-holding',
  '/modifiers/breath-holding--when--fear-signs-in-water',
  '/modifiers/water-anxiety--when--no-bubbles-face-in',
];
