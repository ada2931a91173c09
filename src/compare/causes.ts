/** Causes and efficiency, film against film. */

import { probabilityOfNode } from '../assess/causes.ts';
import { viewsOf } from '../assess/facts.ts';
import { keyOf } from '../assess/findings.ts';
import { labelOfCause, phrase } from '../assess/phrases.ts';
import type { PhaseScore } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';
import { lessIsBetter, opposite, verdictOf } from './verdict.ts';

const probabilityIn = (film: Film, key: string, ruleSet: RuleSet): number =>
  probabilityOfNode(film.study.weighed.network.nodeOf.get(key) as number, film.study.weighed, ruleSet);

/** A cause changed clearly when it is listed in one film only or its ranges do not meet. */
export function compareCauses(before: Film, after: Film, blocked: boolean, ruleSet: RuleSet): Change[] {
  const { probability: limit } = ruleSet.parts.constants.change;
  const listed = (film: Film) => [...film.answer.causes, ...film.answer.mechanisms];
  const keys = [...new Set([...listed(before), ...listed(after)].map((c) => keyOf(c.code, c.side)))].sort();
  return keys.map((key): Change => {
    const [code, side = 'body'] = key.split('@') as [string, Side?];
    const [x, y] = [probabilityIn(before, key, ruleSet), probabilityIn(after, key, ruleSet)];
    const range = (film: Film) => listed(film).find((c) => c.code === code && c.side === side)?.range;
    const [r, s] = [range(before), range(after)];
    const apart = r === undefined || s === undefined ? false : s.high < r.low || s.low > r.high;
    const base = {
      kind: 'cause' as const,
      code,
      label: labelOfCause(ruleSet, code),
      side,
      before: x,
      after: y,
      smallestBelievable: limit,
    };
    const said = (reason: string) => ({ code: reason, text: phrase(ruleSet, `change-${reason}`) });
    if (blocked)
      return { ...base, verdict: 'not-comparable', direction: 'none', because: said('other-pace') };
    const passed = Math.abs(y - x) >= limit;
    const direction = lessIsBetter(x, y);
    return {
      ...base,
      verdict: verdictOf(passed, apart, direction),
      direction: passed ? direction : 'none',
      because: said(passed ? (apart ? 'ranges-apart' : 'ranges-meet') : 'within-the-limit'),
    };
  });
}

type Scored = Extract<PhaseScore, { status: 'scored' }>;

/** Never from a different set of views, and only with a changed severity that explains it. */
export function compareEfficiency(
  before: Film,
  after: Film,
  blocked: boolean,
  findings: readonly Change[],
  ruleSet: RuleSet,
): Change[] {
  const { efficiencyPoints } = ruleSet.parts.constants.change;
  const sameViews = JSON.stringify(viewsOf(before.record)) === JSON.stringify(viewsOf(after.record));
  return (['left', 'right'] as const).flatMap((side) =>
    (['catch', 'pull', 'push', 'arm'] as const).flatMap((phase): Change[] => {
      const [a, b] = [before.answer.efficiency[side][phase], after.answer.efficiency[side][phase]];
      if (a.status !== 'scored' && b.status !== 'scored') return [];
      const value = (p: PhaseScore): number | null => (p.status === 'scored' ? p.estimate : null);
      const base = {
        kind: 'efficiency' as const,
        code: phase,
        label: phrase(ruleSet, `phase-${phase}`),
        side,
        phase,
        before: value(a),
        after: value(b),
        smallestBelievable: efficiencyPoints,
      };
      const said = (reason: string) => ({ code: reason, text: phrase(ruleSet, `change-${reason}`) });
      const none = (reason: string): Change[] => [
        { ...base, verdict: 'not-comparable', direction: 'none', because: said(reason) },
      ];
      if (a.status !== 'scored' || b.status !== 'scored') return none('one-film-only');
      if (blocked) return none('other-pace');
      if (!sameViews) return none('other-view');
      const passed = Math.abs(b.estimate - a.estimate) >= efficiencyPoints;
      const direction = opposite(lessIsBetter(a.estimate, b.estimate));
      const explained = findings.filter(
        (f) => f.side === side && charged(f.code, a, b) && f.direction === direction,
      );
      const clear = explained.some((f) => f.verdict === 'clear-change' || f.verdict === 'worse');
      return [
        {
          ...base,
          verdict: verdictOf(passed && explained.length > 0, clear, direction),
          direction: passed ? direction : 'none',
          because: said(
            !passed
              ? 'within-the-limit'
              : explained.length === 0
                ? 'not-explained'
                : clear
                  ? 'two-witnesses'
                  : 'one-witness',
          ),
        },
      ];
    }),
  );
}

const charged = (code: string, a: Scored, b: Scored): boolean =>
  [...a.lost, ...b.lost].some((l) => l.observation === code);
