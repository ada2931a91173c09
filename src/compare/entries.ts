/** Entries of one item in both films, cut down to those that may be held against each other. */
import { viewCapDb } from '../assess/reports.ts';
import type { View } from '../contract/common.ts';
import type { FilmPair } from './film-pair.ts';

interface Viewed {
  readonly view?: View;
}

export interface Shared<T> {
  readonly before: readonly T[];
  readonly after: readonly T[];
}

/** Why two lists of entries cannot be compared. */
export type Obstacle = 'one-film-only' | 'other-view' | 'other-film-quality';

export const isObstacle = (found: object | Obstacle): found is Obstacle => typeof found === 'string';

const viewsIn = (entries: readonly Viewed[]): (View | undefined)[] => [
  ...new Set(entries.map((e) => e.view)),
];

/** An entry that does not name its view may be from any: what is not known is not held to differ. */
function sameViews<T extends Viewed>(before: readonly T[], after: readonly T[]): Shared<T> | Obstacle {
  const [a, b] = [viewsIn(before), viewsIn(after)];
  if (a.includes(undefined) || b.includes(undefined)) return { before, after };
  const shared = a.filter((view) => b.includes(view));
  if (shared.length === 0) return 'other-view';
  const from = (entries: readonly T[]): T[] => entries.filter((e) => shared.includes(e.view));
  return { before: from(before), after: from(after) };
}

/** The most that these entries may count for what they show, with the flaws of their film. */
function cap(
  entries: readonly Viewed[],
  flagCodes: readonly string[],
  findings: readonly string[],
  { ruleSet }: FilmPair,
): number {
  const flags = flagCodes.flatMap((code) => ruleSet.flags.get(code) ?? []);
  const caps = entries.flatMap((e) => findings.map((f) => viewCapDb(f, e.view, flags, ruleSet)));
  return Math.min(Number.POSITIVE_INFINITY, ...caps);
}

/**
 * @param findings what the entries speak about: a film whose flaws limit that is no match for one without.
 */
export function sharedEntries<T extends Viewed>(
  before: readonly T[],
  after: readonly T[],
  findings: readonly string[],
  films: FilmPair,
): Shared<T> | Obstacle {
  if (before.length === 0 || after.length === 0) return 'one-film-only';
  const shared = sameViews(before, after);
  if (isObstacle(shared)) return shared;
  const [a, b] = [
    cap(shared.before, films.before.study.flags, findings, films),
    cap(shared.after, films.after.study.flags, findings, films),
  ];
  return a === b ? shared : 'other-film-quality';
}
