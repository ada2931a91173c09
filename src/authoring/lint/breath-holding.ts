/** No text may set a swimmer the task of holding the breath or breathing less: it can drown people. */
import type { LintFinding, LintRule } from './finding.ts';

const breath = '(?:breath|breaths|air|breathing)';
const whose = '(?:(?:your|the|all|their|his|her|all the|all your) )?';

/** Our own patterns, over texts of limited length; none backtracks over more than one sentence. */
export const BREATH_HOLDING: readonly RegExp[] = [
  new RegExp(
    `\\b(?:hold|holds|holding|held|keep|keeps|keeping) (?:on to |in )?${whose}(?:breath|breaths|air)\\b(?! (?:flowing|moving))`,
    'i',
  ),
  /\bbreath-?\s?hold(?:s|ing)?\b/i,
  new RegExp(`\\b(?:stop|stops|stopping|cease|suspend) ${whose}${breath}\\b`, 'i'),
  new RegExp(
    `\\b(?:fewer|less|skip|skips|skipping|miss|missing|drop|delay|delaying|limit|restrict|ration|leave out|leaving out|put off) ${whose}(?:\\w+ )?${breath}\\b`,
    'i',
  ),
  new RegExp(`\\b(?:long|longer|longest) gaps? between ${breath}\\b`, 'i'),
  /\b(?:swim|kick|glide|float|lengths?|metres|m|yards|stay|travel|(?:\d+|two|three|four|five|six|eight|ten) strokes)\b[^.;]*\b(?:without (?:a |any )?(?:breath|breathing|air)|on one breath|with no breath)\b/i,
  /\bbreath(?:e|s|ing)?\b[^.;]*\bevery (?:third|fourth|fifth|sixth|seventh|eighth|ninth|[3-9](?:rd|th)?|[3-9] strokes)\b/i,
  /\bhypoxi|\bapno?ea|\bhyperventilat|\bover-breath/i,
  /\bunder ?water (?:distance|for distance|for time|as (?:far|long))|\b(?:swim|stay|glide) under ?water\b/i,
  /\b(?:face (?:in|down)|under(?: water)?|submerged|down)\b[^.;]*\bas long as (?:you can|possible)\b/i,
];

/** "Never hold the breath" forbids it; "breathe every third stroke if you like" leaves it to the swimmer. */
const FORBIDS = /\b(?:never|not|no|nobody|don't|without|instead of|stop if)\b[^.;]*$/i;
const LEAVES_IT = /\b(?:if (?:it is |that is )?comfortable|as comfort|whenever you|at will|if you like)\b/i;

/** @returns the words that ask for it; undefined when the text forbids it or speaks of something else. */
export function asksToHoldBreath(text: string): string | undefined {
  for (const sentence of text.split(/(?<=[.;!?])\s+/)) {
    for (const pattern of BREATH_HOLDING) {
      const match = pattern.exec(sentence);
      if (match === null) continue;
      if (!FORBIDS.test(sentence.slice(0, match.index)) && !LEAVES_IT.test(sentence)) return match[0];
    }
  }
  return undefined;
}

type Place = readonly (string | number)[];

function* textsIn(value: unknown, place: Place): Generator<{ text: string; place: Place }> {
  if (typeof value === 'string') yield { text: value, place };
  else if (value !== null && typeof value === 'object')
    for (const [key, inner] of Object.entries(value)) yield* textsIn(inner, [...place, key]);
}

/** Sections that tell somebody what to do, with the part that their entries belong to. */
const TASKS = { drills: 'drills', sessions: 'sessions', goalSets: 'texts', plans: 'texts' } as const;

/** Common errors are told as faults, and what a drill must not be used for is no task. */
const NO_TASK: readonly (string | number)[] = ['commonErrors', 'avoid'];

export const tasks: LintRule = ({ ruleSet: { texts } }) =>
  Object.entries(TASKS).flatMap(([section, part]) =>
    Object.entries(texts[section as keyof typeof TASKS] as object).flatMap(([name, words]) =>
      [...textsIn(words, [])].flatMap(({ text, place }): LintFinding[] => {
        const asked = NO_TASK.includes(place[0] as string) ? undefined : asksToHoldBreath(text);
        if (asked === undefined) return [];
        const inTexts = part === 'texts';
        return [
          {
            lint: 'breath-holding-task',
            part,
            entry: inTexts ? section : name,
            path: inTexts ? [name, ...place] : ['text', ...place],
            about: place.join('/'),
            message: `the text asks to hold the breath or to breathe less: "${asked}"`,
            suggestion:
              'Leave the breath to the swimmer. Held breath and skipped breaths can make a swimmer faint under water.',
          },
        ];
      }),
    ),
  );
