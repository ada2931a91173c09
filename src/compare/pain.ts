/**
 * Pain, place by place, wherever it was written down. A rise counts at once, and so does a new sign; a fall counts from
 * the limit of the rule set on, and is possible at most: only the swimmer feels it.
 */
import { bodyPartWords, phrase } from '../assess/phrases.ts';
import { PAIN_OBSERVATIONS } from '../assess/record.ts';
import type { Arm, Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';
import type { FilmPair } from './film-pair.ts';
import { limitOf, reaches } from './limits.ts';
import { notComparable, reason } from './verdict.ts';

/** The trunk has no left and right arm of its own: its pain is one. */
const IN_THE_MIDDLE = ['neck', 'back'];
const ARMS: readonly Arm[] = ['left', 'right'];

interface Ache {
  readonly site: string;
  readonly side: Side;
  readonly score: number;
  readonly features: readonly string[];
}

function achesOf({ record }: Film): Ache[] {
  const told = (record.health?.pain ?? []).flatMap(({ site, side, score, features }): Ache[] => {
    const sides: readonly Side[] = IN_THE_MIDDLE.includes(site) ? ['body'] : side === 'both' ? ARMS : [side];
    return sides.map((s) => ({ site, side: s, score, features }));
  });
  // a score without a place is a shoulder's
  const scored = record.measurements
    .filter((m) => m.code === 'pain')
    .flatMap((m): Ache[] => {
      const sides: readonly Side[] = m.side === 'body' ? ARMS : [m.side];
      return sides.map((side) => ({ site: 'shoulder', side, score: m.value, features: [] }));
    });
  return [...told, ...scored];
}

/** Worst score of a place; 0 when the swimmer was asked and named none, null when nobody asked. */
export function scoreOf(film: Film, site: string, side: Side): number | null {
  const scores = achesOf(film)
    .filter((a) => a.site === site && a.side === side)
    .map((a) => a.score);
  if (scores.length > 0) return Math.max(...scores);
  return film.record.health?.asked ? 0 : null;
}

/** What came with the pain, and signs of the whole body. */
const signsOf = (film: Film, site: string, side: Side): string[] => [
  ...achesOf(film).flatMap((a) => (a.site === site && a.side === side ? a.features : [])),
  ...(film.record.health?.signs ?? []),
];

export const painLabel = (site: string, ruleSet: RuleSet): string =>
  phrase(ruleSet, 'pain-in', { part: bodyPartWords(ruleSet, site) });

/** The places that hurt, each once. */
export function placesOf(...films: readonly Film[]): { site: string; side: Side }[] {
  const places = new Map(
    films
      .flatMap(achesOf)
      .filter((a) => a.score > 0)
      .map(({ site, side }) => [`${site} ${side}`, { site, side }] as const),
  );
  return [...places].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, place]) => place);
}

function compareAche(site: string, side: Side, { before, after, ruleSet }: FilmPair): Change {
  const [x, y] = [scoreOf(before, site, side), scoreOf(after, site, side)];
  const item = {
    kind: 'measurement' as const,
    code: 'pain',
    label: painLabel(site, ruleSet),
    unit: ruleSet.measurements.get('pain')?.unit ?? '',
    site,
    side,
    before: x,
    after: y,
  };
  if (x === null || y === null) return notComparable(item, 'one-film-only', ruleSet);
  const limit = limitOf('pain', ruleSet)?.units ?? null;
  const known = signsOf(before, site, side);
  const worse = (why: string): Change => ({
    ...item,
    verdict: 'worse',
    direction: 'worse',
    smallestBelievable: limit,
    because: reason(ruleSet, why),
  });
  if (y > x) return worse('pain-rose');
  if (signsOf(after, site, side).some((sign) => !known.includes(sign))) return worse('new-signs');
  const passed = limit !== null && reaches(y - x, limit);
  return {
    ...item,
    verdict: passed ? 'possible-change' : 'no-change-seen',
    direction: passed ? 'better' : 'none',
    smallestBelievable: limit,
    because: reason(ruleSet, passed ? 'one-witness' : 'within-the-limit'),
  };
}

/** One change for each place that hurt in either film. */
export const comparePain = (films: FilmPair): Change[] =>
  placesOf(films.before, films.after).map(({ site, side }) => compareAche(site, side, films));

/** Is this observation the same report as one of the pains that were compared by their scores? */
export function toldAsPain(change: Change, pains: readonly Change[]): boolean {
  const sites: readonly string[] = PAIN_OBSERVATIONS.find((p) => p.code === change.code)?.sites ?? [];
  return pains.some(
    (p) => p.side === change.side && p.before !== null && p.after !== null && sites.includes(p.site ?? ''),
  );
}
