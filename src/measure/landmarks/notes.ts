/**
 * What landmarks cannot give, and why: codes and figures without words. The words stand in the language file under
 * `measure-` and the code.
 */
import type { Arm, LandmarkNote, LandmarkView } from './types.ts';

/** Why quantities are missing or to be taken with care. */
export type Reason =
  | 'view-cannot-show'
  | 'points-missing'
  | 'scale-needed'
  | 'waterline-needed'
  | 'arm-length-needed'
  | 'entry-needed'
  | 'cycles-needed'
  | 'moment-not-found'
  | 'out-of-sight'
  | 'one-stroke';

/** One quantity and what stands in its way. */
export interface Obstacle {
  readonly reason: Reason;
  /** Code of the quantity. */
  readonly quantity: string;
  /** Where the other side was measured. */
  readonly side?: Arm;
  /** For `view-cannot-show`: the views that would show it. */
  readonly views?: readonly LandmarkView[];
  /** For `points-missing`: the names of the points. */
  readonly points?: readonly string[];
}

/** Of two views that show as many quantities, the one that is filmed more often (judgement). */
const FILMS: readonly LandmarkView[] = ['side-under', 'front-under', 'overhead', 'side-above', 'rear'];

/**
 * As few views as possible that show all of the quantities together; each quantity stands under one of them. Points in
 * space would show everything, so they are named only for what no film shows.
 * @returns views in the order in which they show most, with codes in the order given
 */
export function viewsFor(
  quantities: readonly { readonly code: string; readonly views: readonly LandmarkView[] }[],
): { view: LandmarkView; codes: string[] }[] {
  const found: { view: LandmarkView; codes: string[] }[] = [];
  let left = [...quantities];
  while (left.length > 0) {
    const shown = FILMS.map((view) => ({ view, by: left.filter((q) => q.views.includes(view)) }));
    const best = shown.reduce((most, next) => (next.by.length > most.by.length ? next : most), {
      view: '3d',
      by: [],
    });
    const codes = (best.by.length === 0 ? left : best.by).map((q) => q.code);
    found.push({ view: best.view, codes });
    left = left.filter((q) => !codes.includes(q.code));
  }
  return found;
}

/** One note for each reason and side, naming all its quantities; of points that are missing, one for each set of them. */
export function notesOf(obstacles: readonly Obstacle[], view: LandmarkView): LandmarkNote[] {
  const groups = new Map<string, Obstacle[]>();
  for (const obstacle of obstacles) {
    const key = [obstacle.reason, obstacle.side ?? '', ...(obstacle.points ?? [])].join(' ');
    groups.set(key, [...(groups.get(key) ?? []), obstacle]);
  }
  return [...groups.values()].map((group): LandmarkNote => {
    const { reason, points, side } = group[0]!;
    const quantities = [...new Set(group.map((o) => o.quantity))];
    const better =
      reason === 'view-cannot-show'
        ? viewsFor(group.map((o) => ({ code: o.quantity, views: o.views ?? [] })))
        : undefined;
    return {
      severity: 'info',
      code: reason,
      about: { ...(quantities.length === 1 && { code: quantities[0]! }), ...(side && { side }), view },
      quantities,
      ...(points && { values: { points: points.join(', ') } }),
      ...(better && { better }),
    };
  });
}
