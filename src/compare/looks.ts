/**
 * What the eye saw change: one full step in all judged cycles, in the same view and by the same judge; two steps where
 * the judges differ. A view is one witness, however many judges looked at it.
 */
import type { SeenEntry } from '../assess/record.ts';
import type { Side } from '../contract/common.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { isObstacle, type Obstacle, sharedEntries } from './entries.ts';
import type { Film } from './film.ts';
import type { FilmPair } from './film-pair.ts';
import { type Direction, lessIsBetter, opposite } from './verdict.ts';

export const seenIn = (film: Film, code: string, side: Side): SeenEntry[] =>
  film.record.observations.filter((o) => o.code === code && o.side === side);

/** Median of the judged severities: one odd look does not decide what is shown. */
export function severityOf(entries: readonly SeenEntry[]): number {
  const sorted = entries.map((e) => e.severity).sort((a, b) => a - b);
  const at = (place: number): number => sorted[place] as number;
  return (at(Math.floor((sorted.length - 1) / 2)) + at(Math.ceil((sorted.length - 1) / 2))) / 2;
}

/** For faults less is better, for good signs more; what is only information has no better. */
export function directionOfSeen(code: string, before: number, after: number, ruleSet: RuleSet): Direction {
  const polarity = ruleSet.observations.get(code)?.polarity;
  if (polarity === 'info') return 'none';
  const less = lessIsBetter(before, after);
  return polarity === 'good' ? opposite(less) : less;
}

interface Look {
  readonly needed: number;
  /** Steps between the two films that every judged cycle shows: 0 where the two ranges meet. Negative: less of it. */
  readonly steps: number;
}

function stepsBetween(before: readonly SeenEntry[], after: readonly SeenEntry[]): number {
  const [a, b] = [before.map((e) => e.severity), after.map((e) => e.severity)];
  const up = Math.min(...b) - Math.max(...a);
  const down = Math.min(...a) - Math.max(...b);
  return up > 0 ? up : down > 0 ? -down : 0;
}

/** The looks of one view: one for each judge who saw both films, or a single one between different judges. */
function looksOf(before: readonly SeenEntry[], after: readonly SeenEntry[], ruleSet: RuleSet): Look[] {
  const { severitySteps } = ruleSet.parts.constants.change;
  const by = (entries: readonly SeenEntry[], judge: string | undefined): SeenEntry[] =>
    entries.filter((e) => e.observer === judge);
  const judges = [...new Set(before.map((e) => e.observer))].filter((judge) => by(after, judge).length > 0);
  if (judges.length === 0) return [{ needed: severitySteps.otherJudge, steps: stepsBetween(before, after) }];
  return judges.map((judge) => ({
    needed: severitySteps.sameJudge,
    steps: stepsBetween(by(before, judge), by(after, judge)),
  }));
}

/** Sign of the change that a view shows: 0 where a judge saw none, or two judges disagree. */
function signOf(looks: readonly Look[]): number {
  const signs = new Set(looks.map(({ needed, steps }) => (Math.abs(steps) >= needed ? Math.sign(steps) : 0)));
  return signs.size === 1 ? ([...signs][0] as number) : 0;
}

export interface SeenChange {
  readonly before: number;
  readonly after: number;
  readonly needed: number;
  readonly passed: boolean;
  readonly direction: Direction;
  /** Views in which the change passed its limit. */
  readonly views: number;
  /** Views that show opposite changes. */
  readonly disagree: boolean;
}

/** The change of one observation on one side, or why there is none to speak of. */
export function seenChange(code: string, side: Side, films: FilmPair): SeenChange | Obstacle {
  const { ruleSet } = films;
  const shared = sharedEntries(
    seenIn(films.before, code, side),
    seenIn(films.after, code, side),
    [code],
    films,
  );
  if (isObstacle(shared)) return shared;
  const views = [...new Set(shared.before.map((e) => e.view))];
  const known = [...shared.before, ...shared.after].every((e) => e.view !== undefined);
  // where somebody did not name a view, everything is one look
  const groups = known
    ? views.map((view) =>
        looksOf(
          shared.before.filter((e) => e.view === view),
          shared.after.filter((e) => e.view === view),
          ruleSet,
        ),
      )
    : [looksOf(shared.before, shared.after, ruleSet)];
  const signs = groups.map(signOf);
  const [less, more] = [signs.filter((s) => s < 0).length, signs.filter((s) => s > 0).length];
  const disagree = less > 0 && more > 0;
  const passed = !disagree && less + more > 0;
  const [before, after] = [severityOf(shared.before), severityOf(shared.after)];
  return {
    before,
    after,
    needed: Math.min(...groups.flat().map((look) => look.needed)),
    passed,
    direction: passed ? directionOfSeen(code, 0, more - less, ruleSet) : 'none',
    views: passed ? less + more : 0,
    disagree,
  };
}
