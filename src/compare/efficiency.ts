/** The estimate of each arm by eye, film against film: never from other views, and only with a changed severity behind it. */
import { viewsOf } from '../assess/facts.ts';
import { phrase } from '../assess/phrases.ts';
import type { PhaseScore } from '../contract/answer.ts';
import type { Arm } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import { carried, changesBehind } from './causes.ts';
import { blockOf, type FilmPair } from './film-pair.ts';
import { reaches } from './limits.ts';
import { lessIsBetter, notComparable, opposite, reason, verdictOf } from './verdict.ts';

const PHASES = ['catch', 'pull', 'push', 'arm'] as const;
type Phase = (typeof PHASES)[number];

const estimate = (score: PhaseScore): number | null => (score.status === 'scored' ? score.estimate : null);

function comparePhase(side: Arm, phase: Phase, observed: readonly Change[], films: FilmPair): Change[] {
  const { before, after, ruleSet } = films;
  const [a, b] = [before.answer.efficiency[side][phase], after.answer.efficiency[side][phase]];
  const [x, y] = [estimate(a), estimate(b)];
  if (x === null && y === null) return [];
  const item = {
    kind: 'efficiency' as const,
    code: phase,
    label: phrase(ruleSet, `phase-${phase}`),
    unit: '%',
    side,
    phase,
    before: x,
    after: y,
  };
  if (a.status !== 'scored' || b.status !== 'scored') return [notComparable(item, 'one-film-only', ruleSet)];
  const block = blockOf(films, 'pace');
  if (block !== null) return [notComparable(item, block, ruleSet)];
  if (JSON.stringify(viewsOf(before.record)) !== JSON.stringify(viewsOf(after.record)))
    return [notComparable(item, 'other-view', ruleSet)];

  const { efficiencyPoints: limit } = ruleSet.parts.constants.change;
  const direction = opposite(lessIsBetter(a.estimate, b.estimate));
  const moved = reaches(b.estimate - a.estimate, limit);
  const charged = [...a.lost, ...b.lost].map((l) => ({ code: l.observation, side }));
  const carry = carried(changesBehind(charged, observed, films), direction);
  const passed = moved && carry !== 'not-explained';
  return [
    {
      ...item,
      verdict: verdictOf(passed, carry === 'two-witnesses', direction),
      direction: passed ? direction : 'none',
      smallestBelievable: limit,
      because: reason(ruleSet, moved ? carry : 'within-the-limit'),
    },
  ];
}

/** @param observed changes of findings and measurements. */
export function compareEfficiency(films: FilmPair, observed: readonly Change[]): Change[] {
  return (['left', 'right'] as const).flatMap((side) =>
    PHASES.flatMap((phase) => comparePhase(side, phase, observed, films)),
  );
}
