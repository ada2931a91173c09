/** Severities by eye, film against film: one full step by the same judge, two steps by different ones. */
import { keyOf } from '../assess/findings.ts';
import { labelOfFinding, phrase } from '../assess/phrases.ts';
import type { SeenEntry } from '../assess/record.ts';
import { isAsked, isTested } from '../assess/report-weights.ts';
import type { Side } from '../contract/common.ts';
import type { Change } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Film } from './film.ts';
import { measuredChange } from './measurements.ts';
import { type Direction, lessIsBetter, opposite, verdictOf } from './verdict.ts';

const entriesOf = (film: Film, code: string, side: Side): SeenEntry[] =>
  film.record.observations.filter((o) => o.code === code && o.side === side);

/** Median of the judged severities: one odd look does not decide. */
function severityOf(entries: readonly SeenEntry[]): number {
  const sorted = entries.map((e) => e.severity).sort((a, b) => a - b);
  return (
    ((sorted[Math.floor((sorted.length - 1) / 2)] as number) +
      (sorted[Math.ceil((sorted.length - 1) / 2)] as number)) /
    2
  );
}

const lookOf = (e: SeenEntry): string => `${e.view ?? ''}|${e.observer ?? ''}`;

/** Looks by the same judge from the same view in both films. */
function matched(
  before: readonly SeenEntry[],
  after: readonly SeenEntry[],
): { before: number; after: number }[] {
  return [...new Set(before.map(lookOf))].flatMap((look) => {
    const [a, b] = [before.filter((e) => lookOf(e) === look), after.filter((e) => lookOf(e) === look)];
    return b.length === 0 ? [] : [{ before: severityOf(a), after: severityOf(b) }];
  });
}

function otherJudge(before: readonly SeenEntry[], after: readonly SeenEntry[]): boolean {
  const judges = (list: readonly SeenEntry[]): string[] => [...new Set(list.map((e) => e.observer ?? ''))];
  return !judges(before).some((judge) => judges(after).includes(judge));
}

function viewsShared(before: readonly SeenEntry[], after: readonly SeenEntry[]): boolean {
  const views = (list: readonly SeenEntry[]): string[] =>
    list.flatMap((e) => (e.view === undefined ? [] : [e.view]));
  const [a, b] = [views(before), views(after)];
  return a.length === 0 || b.length === 0 || a.some((view) => b.includes(view));
}

/** For faults less is better, for good signs more; what is only information has no better. */
function directionOf(code: string, before: number, after: number, ruleSet: RuleSet): Direction {
  const polarity = ruleSet.observations.get(code)?.polarity;
  if (polarity === 'info') return 'none';
  const less = lessIsBetter(before, after);
  return polarity === 'good' ? opposite(less) : less;
}

/** Measurements that report on a finding. */
function measurementsOf(finding: string, ruleSet: RuleSet): string[] {
  return ruleSet.parts.reports.flatMap(({ conditions, event }) => {
    const first = 'all' in conditions ? conditions.all[0] : undefined;
    const reads = event.params.kind === 'measured' && event.params.finding === finding;
    return reads && first !== undefined && 'fact' in first ? [first.fact] : [];
  });
}

/** Does a number say the same? */
function numberAgrees(
  code: string,
  side: Side,
  direction: Direction,
  before: Film,
  after: Film,
  ruleSet: RuleSet,
): boolean {
  return measurementsOf(code, ruleSet).some((m) =>
    [side, 'body' as const].some((s) => {
      const change = measuredChange(m, s, before, after, ruleSet);
      return change?.passed === true && change.direction === direction;
    }),
  );
}

/** Does the eye say the same as a number? */
export function eyeAgreesWith(before: Film, after: Film, ruleSet: RuleSet) {
  return (measurement: string, side: Side, direction: Direction): boolean =>
    ruleSet.parts.reports.some(({ conditions, event }) => {
      const first = 'all' in conditions ? conditions.all[0] : undefined;
      if (
        event.params.kind !== 'measured' ||
        first === undefined ||
        !('fact' in first) ||
        first.fact !== measurement
      )
        return false;
      const { finding } = event.params;
      const sides: Side[] = ruleSet.findings.get(finding)?.sided
        ? side === 'body'
          ? ['left', 'right']
          : [side]
        : ['body'];
      return sides.some((s) => {
        const [a, b] = [entriesOf(before, finding, s), entriesOf(after, finding, s)];
        if (a.length === 0 || b.length === 0) return false;
        const [x, y] = [severityOf(a), severityOf(b)];
        return Math.abs(y - x) >= 1 && directionOf(finding, x, y, ruleSet) === direction;
      });
    });
}

function flagsLimit(code: string, film: Film, ruleSet: RuleSet): string {
  const limiting = film.study.flags.filter((flag) =>
    ruleSet.flags.get(flag)?.caps.some((c) => c.findings.includes(code)),
  );
  return limiting.sort().join(',');
}

export function compareFindings(before: Film, after: Film, blocked: boolean, ruleSet: RuleSet): Change[] {
  const { severitySteps } = ruleSet.parts.constants.change;
  const keys = new Map(
    [...before.record.observations, ...after.record.observations].map(
      (o) => [keyOf(o.code, o.side), o] as const,
    ),
  );
  return (
    [...keys]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      // looked for and never there: nothing to report
      .filter(([, { code, side }]) =>
        [before, after].some((film) => entriesOf(film, code, side).some((e) => e.severity > 0)),
      )
      .map(([, { code, side }]): Change => {
        const [a, b] = [entriesOf(before, code, side), entriesOf(after, code, side)];
        const base = { kind: 'finding' as const, code, label: labelOfFinding(ruleSet, code), side };
        const said = (reason: string) => ({ code: reason, text: phrase(ruleSet, `change-${reason}`) });
        const none = (reason: string): Change => ({
          ...base,
          verdict: 'not-comparable',
          direction: 'none',
          before: a.length === 0 ? null : severityOf(a),
          after: b.length === 0 ? null : severityOf(b),
          smallestBelievable: null,
          because: said(reason),
        });
        if (a.length === 0 || b.length === 0) return none('one-film-only');
        const filmed = !isAsked(ruleSet, code) && !isTested(ruleSet, code);
        if (blocked && filmed) return none('other-pace');
        if (!viewsShared(a, b)) return none('other-view');
        if (flagsLimit(code, before, ruleSet) !== flagsLimit(code, after, ruleSet))
          return none('other-film-quality');

        const [x, y] = [severityOf(a), severityOf(b)];
        const direction = directionOf(code, x, y, ruleSet);
        const needed = otherJudge(a, b) ? severitySteps.otherJudge : severitySteps.sameJudge;
        const passed = Math.abs(y - x) >= needed;
        const looks = matched(a, b).filter(
          (l) =>
            Math.abs(l.after - l.before) >= 1 && directionOf(code, l.before, l.after, ruleSet) === direction,
        );
        const confirmed = looks.length >= 2 || numberAgrees(code, side, direction, before, after, ruleSet);
        return {
          ...base,
          verdict: verdictOf(passed, confirmed, direction),
          direction: passed ? direction : 'none',
          before: x,
          after: y,
          smallestBelievable: needed,
          because: said(passed ? (confirmed ? 'two-witnesses' : 'one-witness') : 'within-the-limit'),
        };
      })
  );
}
