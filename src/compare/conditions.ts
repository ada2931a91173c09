/** What else changed between two films. It is named first, and another pace makes filmed items incomparable. */
import { derivedFlags, viewsOf } from '../assess/facts.ts';
import { phrase } from '../assess/phrases.ts';
import type { Condition } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';

/** The judges who are named in a film. */
function observersOf({ record }: Film): string[] {
  const named = record.observations.flatMap((o) => (o.observer === undefined ? [] : [o.observer]));
  return [...new Set(named)].sort();
}

function flagsOf({ record }: Film, ruleSet: RuleSet): string[] {
  return [...(record.recording.flags ?? []), ...derivedFlags(record, ruleSet)].sort();
}

type Verdict = 'same' | 'other' | 'unknown';

function paceOf(before: Film, after: Film, ruleSet: RuleSet): Verdict {
  const [a, b] = [before.record.recording, after.record.recording];
  const { pacePercent } = ruleSet.parts.constants.change;
  if (a.paceSecondsPer100 !== undefined && b.paceSecondsPer100 !== undefined) {
    const gap = Math.abs(b.paceSecondsPer100 - a.paceSecondsPer100);
    // a gap of exactly the limit is still the same pace, whatever the last bit says
    return gap <= (a.paceSecondsPer100 * pacePercent) / 100 + 1e-9 ? 'same' : 'other';
  }
  if (a.pace === undefined || b.pace === undefined) return 'unknown';
  return a.pace === b.pace ? 'same' : 'other';
}

/** Effort is what the swimmer meant to do: easy, steady or race. */
function effortOf(before: Film, after: Film): Verdict {
  const [a, b] = [before.record.recording.pace, after.record.recording.pace];
  if (a === undefined || b === undefined) return 'unknown';
  return a === b ? 'same' : 'other';
}

/** How each condition of a film is said; undefined where the record does not say. */
function wordsOf(ruleSet: RuleSet) {
  const say = (key: string, values = {}): string => phrase(ruleSet, key, values);
  const listed = (words: readonly string[]): string | undefined =>
    words.length === 0 ? undefined : words.join('; ');
  return {
    pace: ({ record: { recording } }: Film): string | undefined => {
      const seconds = recording.paceSecondsPer100;
      if (seconds !== undefined) return say('pace-seconds', { seconds: String(seconds) });
      return recording.pace === undefined ? undefined : say(`pace-${recording.pace}`);
    },
    effort: ({ record: { recording } }: Film): string | undefined =>
      recording.pace === undefined ? undefined : say(`pace-${recording.pace}`),
    views: ({ record }: Film): string | undefined => {
      const views = viewsOf(record);
      return views === undefined ? undefined : listed(views.map((view) => say(`view-${view}`)));
    },
    suit: ({ record: { recording } }: Film): string | undefined =>
      recording.suit === undefined ? undefined : say(`suit-${recording.suit}`),
    observer: (film: Film): string | undefined => listed(observersOf(film)),
    flags: (film: Film): string =>
      listed(flagsOf(film, ruleSet).map((code) => ruleSet.texts.qualityFlags[code]?.label ?? code)) ??
      say('film-without-flaw'),
    pool: ({ record: { recording } }: Film): string | undefined => {
      const { pool } = recording;
      if (pool === undefined) return undefined;
      return pool === null
        ? say('pool-none')
        : say('pool-of', { length: String(pool.length), unit: pool.unit });
    },
    level: ({ record: { swimmer } }: Film): string =>
      ruleSet.texts.lists.levels[swimmer.level] ?? swimmer.level,
  };
}

/** @returns what differs, what forbids a comparison first; each with its words, ready to read. */
export function conditionsOf(before: Film, after: Film, ruleSet: RuleSet): Condition[] {
  const words = wordsOf(ruleSet);
  const unknown = phrase(ruleSet, 'not-stated');
  const condition = (code: string, of: keyof typeof words, blocks: boolean): Condition => {
    const values = { before: words[of](before) ?? unknown, after: words[of](after) ?? unknown };
    return { code, ...values, blocks, text: phrase(ruleSet, `condition-${code}`, values) };
  };
  const unless = (same: boolean, make: () => Condition): Condition[] => (same ? [] : [make()]);
  const differing = (code: keyof typeof words): Condition[] =>
    unless(words[code](before) === words[code](after), () => condition(code, code, false));

  const forbidding = [before, after]
    .flatMap((film) => flagsOf(film, ruleSet))
    .find((code) => ruleSet.flags.get(code)?.blocksComparison);
  const [pace, effort] = [paceOf(before, after, ruleSet), effortOf(before, after)];
  // where nobody says how hard the swimmer meant to swim, only an equal pace speaks for equal effort
  const otherEffort = effort === 'other' || (effort === 'unknown' && pace === 'other');
  return [
    ...unless(forbidding === undefined, () => condition('unusual-pace', 'flags', true)),
    ...unless(pace !== 'other', () => condition('pace', 'pace', true)),
    ...unless(!otherEffort, () => condition('effort', 'effort', true)),
    ...unless(pace !== 'unknown', () => condition('pace-unknown', 'pace', false)),
    ...differing('views'),
    ...differing('suit'),
    ...differing('observer'),
    ...differing('flags'),
    ...differing('pool'),
    ...differing('level'),
  ];
}
