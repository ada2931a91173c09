/** Causes, film against film: a belief that moved counts only where something that was seen moved with it. */
import { keyOf } from '../assess/findings.ts';
import { labelOfCause } from '../assess/phrases.ts';
import type { Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import { evidenceOf, lookedAtInBoth, nodesOf, probabilityIn, rangeIn } from './beliefs.ts';
import { blockOf, type FilmPair } from './film-pair.ts';
import { reaches } from './limits.ts';
import { reportersOf } from './sources.ts';
import { type Direction, lessIsBetter, notComparable, reason, verdictOf } from './verdict.ts';

/** Changes of what can speak about a cause or a phase, by eye or by number. */
export function changesBehind(
  evidence: readonly { code: string; side: Side }[],
  changes: readonly Change[],
  films: FilmPair,
): Change[] {
  const reporters = evidence.map(({ code, side }) => ({ codes: reportersOf(code, films.ruleSet), side }));
  return changes.filter((c) =>
    reporters.some((r) => r.codes.includes(c.code) && (r.side === c.side || c.side === 'body')),
  );
}

/** How well the changes behind a number carry its own change. */
export function carried(
  behind: readonly Change[],
  direction: Direction,
): 'not-explained' | 'one-witness' | 'two-witnesses' {
  const along = behind.filter((c) => c.direction === direction && c.verdict !== 'not-comparable');
  if (along.length === 0) return 'not-explained';
  return along.some((c) => c.verdict === 'clear-change' || c.verdict === 'worse')
    ? 'two-witnesses'
    : 'one-witness';
}

function compareCause(
  code: string,
  side: Side,
  observed: readonly Change[],
  films: FilmPair,
): Change | undefined {
  const { before, after, ruleSet } = films;
  const { probability: limit } = ruleSet.parts.constants.change;
  // two levels of swimmer have two networks, with the same nodes in the same places
  const [node] = nodesOf(after, code, side);
  if (node === undefined) return undefined;
  const [x, y] = [probabilityIn(before, node, ruleSet), probabilityIn(after, node, ruleSet)];
  const item = {
    kind: 'cause' as const,
    code,
    label: labelOfCause(ruleSet, code),
    side,
    before: x,
    after: y,
  };
  if (!lookedAtInBoth(before, after, node)) return notComparable(item, 'one-film-only', ruleSet);
  const block = blockOf(films, 'pace');
  if (block !== null) return notComparable(item, block, ruleSet);

  const direction = lessIsBetter(x, y);
  const moved = reaches(y - x, limit);
  const carry = carried(changesBehind(evidenceOf(after, node), observed, films), direction);
  const passed = moved && carry !== 'not-explained';
  const [r, s] = [rangeIn(before, node, ruleSet), rangeIn(after, node, ruleSet)];
  const apart = s.high < r.low || s.low > r.high;
  const why = moved ? (carry === 'two-witnesses' && !apart ? 'ranges-meet' : carry) : 'within-the-limit';
  return {
    ...item,
    verdict: verdictOf(passed, apart && carry === 'two-witnesses', direction),
    direction: passed ? direction : 'none',
    smallestBelievable: limit,
    because: reason(ruleSet, why),
  };
}

/** @param observed changes of findings and measurements. */
export function compareCauses(films: FilmPair, observed: readonly Change[]): Change[] {
  const listed = [films.before, films.after].flatMap(({ answer }) => [
    ...answer.causes,
    ...answer.mechanisms,
  ]);
  const items = new Map(listed.map((c) => [keyOf(c.code, c.side), c] as const));
  return [...items]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .flatMap(([, { code, side }]) => compareCause(code, side, observed, films) ?? []);
}
