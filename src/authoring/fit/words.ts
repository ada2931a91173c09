/** From fitted numbers back to the words that an author types. */
import { logOddsOf } from '../../assess/network/decibans.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Frequencies } from './finding.ts';

type Scale = Readonly<Record<string, number>>;

/** The nearest word in decibans; a tie stays with the smaller frequency. */
export function nearestWord(value: number, scale: Scale): string {
  const words = Object.entries(scale).sort(([, a], [, b]) => a - b);
  const gap = (word: number): number => Math.abs(logOddsOf(word) - logOddsOf(value));
  return words.reduce((best, word) => (gap(word[1]) < gap(best[1]) - 1e-12 ? word : best))[0];
}

export interface Worded {
  readonly background: string;
  readonly shows: Readonly<Record<string, string>>;
}

/** Words of a finding and its links as authored. */
export function authoredWords(finding: string, ruleSet: RuleSet): Worded {
  const links = ruleSet.parts.links.filter((l) => l.event.params.finding === finding);
  return {
    background: ruleSet.findings.get(finding)?.background as string,
    shows: Object.fromEntries(links.map((l) => [l.id, l.event.params.shows])),
  };
}

export function frequenciesOf({ background, shows }: Worded, ruleSet: RuleSet): Frequencies {
  const { words } = ruleSet.parts.constants;
  return {
    background: words.background[background] as number,
    shows: Object.fromEntries(Object.entries(shows).map(([link, w]) => [link, words.shows[w] as number])),
  };
}

/**
 * A word is changed only when the records speak for the new one by this much, in natural log units: what a likelihood-ratio
 * test at 5 % asks for one number (3.84 / 2, Wilks 1938, from memory).
 */
const CLEARLY = 1.92;

/**
 * Words for fitted numbers. The authored word stays where the records do not clearly speak against it, and where another
 * would put `shows` at or under the background, which would turn the link round.
 *
 * @param worthOf log-likelihood of the records, with the pull of the authored numbers
 */
export function wordsOf(
  fitted: Frequencies,
  authored: Worded,
  worthOf: (at: Frequencies) => number,
  ruleSet: RuleSet,
): Worded {
  const { shows: showsScale, background: backgroundScale } = ruleSet.parts.constants.words;
  const clearly = (now: Frequencies, then: Frequencies): boolean => worthOf(then) - worthOf(now) >= CLEARLY;
  const withShows = (link: string, word: string): Frequencies => ({
    ...fitted,
    shows: { ...fitted.shows, [link]: showsScale[word] as number },
  });
  const withBackground = (word: string): Frequencies => ({
    ...fitted,
    background: backgroundScale[word] as number,
  });
  const above = (word: string, background: string): boolean =>
    (showsScale[word] as number) > (backgroundScale[background] as number);

  const shows = Object.fromEntries(
    Object.entries(authored.shows).map(([link, from]) => {
      const to = nearestWord(fitted.shows[link] as number, showsScale);
      const moves = above(to, authored.background) && clearly(withShows(link, from), withShows(link, to));
      return [link, moves ? to : from];
    }),
  );
  const to = nearestWord(fitted.background, backgroundScale);
  const moves =
    Object.values(shows).every((word) => above(word, to)) &&
    clearly(withBackground(authored.background), withBackground(to));
  return { background: moves ? to : authored.background, shows };
}

/**
 * The rule set with other words for how often things show. Nothing else may differ: conditions and texts are shared.
 * @param by words by finding; a finding that is left out keeps its own
 */
export function reworded(ruleSet: RuleSet, by: ReadonlyMap<string, Worded>): RuleSet {
  const links = ruleSet.parts.links.map((link) => {
    const shows = by.get(link.event.params.finding)?.shows[link.id];
    if (shows === undefined) return link;
    return { ...link, event: { ...link.event, params: { ...link.event.params, shows } } };
  });
  const findings = ruleSet.parts.findings.map((f) => {
    const background = by.get(f.code)?.background;
    return background === undefined ? f : { ...f, background };
  });
  return { ...ruleSet, parts: { ...ruleSet.parts, links, findings } };
}
