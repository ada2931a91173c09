/** The signs of a focus cause in this record, and the smallest change in each that one may believe. */
import { keyOf } from '../assess/findings.ts';
import { labelOfFinding, phrase, sideWords } from '../assess/phrases.ts';
import { compareValues, smallestBelievable } from '../compare/limits.ts';
import { directionOf } from '../compare/measured.ts';
import { measurementsOf } from '../compare/sources.ts';
import type { Focus } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Sign } from '../contract/plan.ts';
import { leavesOf } from '../engine/conditions.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Work } from './work.ts';

interface Ref {
  readonly code: string;
  readonly side: Side;
}

const isOn = (focus: Focus, side: Side): boolean => focus.side === 'both' || focus.side === side;

/** A fault can get less; a probe only tells, and pain has its own rules. */
function canImprove(code: string, ruleSet: RuleSet): boolean {
  const painful = ruleSet.stages.gate.rules.some((rule) =>
    leavesOf(rule.conditions).some((leaf) => leaf.fact.split('@')[0] === code),
  );
  return !painful && (ruleSet.observations.get(code)?.polarity ?? 'fault') === 'fault';
}

/** What the record shows of this cause, the worst first. */
function shown(focus: Focus, { answer, concluded, ruleSet }: Work): Ref[] {
  const refs = answer.causes
    .filter((c) => c.code === focus.cause && isOn(focus, c.side))
    .flatMap((c) => c.explains);
  const unique = [...new Map(refs.map((r) => [keyOf(r.code, r.side), r])).values()].filter((r) =>
    canImprove(r.code, ruleSet),
  );
  const severity = (r: Ref): number => concluded.findings.get(keyOf(r.code, r.side))?.severity ?? 0;
  return unique.sort(
    (a, b) => severity(b) - severity(a) || (keyOf(a.code, a.side) < keyOf(b.code, b.side) ? -1 : 1),
  );
}

/** Where nothing was looked at: the findings that say most about the cause. */
function telling(focus: Focus, ruleSet: RuleSet): Ref[] {
  const { shows } = ruleSet.parts.constants.words;
  return ruleSet.parts.links
    .map((l) => l.event.params)
    .filter(
      (p) => p.cause === focus.cause && ruleSet.observations.has(p.finding) && canImprove(p.finding, ruleSet),
    )
    .sort(
      (a, b) =>
        Number(b.direct ?? false) - Number(a.direct ?? false) ||
        (shows[b.shows] ?? 0) - (shows[a.shows] ?? 0) ||
        (a.finding < b.finding ? -1 : 1),
    )
    .slice(0, 2)
    .flatMap(({ finding }): Ref[] => {
      if (!ruleSet.findings.get(finding)?.sided) return [{ code: finding, side: 'body' }];
      const sides =
        focus.side === 'left' || focus.side === 'right' ? [focus.side] : (['left', 'right'] as const);
      return sides.map((side) => ({ code: finding, side }));
    });
}

/** The views that this record judged it from, or those that show it best. */
function viewsFor(code: string, side: Side, { observations }: Work['record'], ruleSet: RuleSet): string[] {
  const used = observations.flatMap((o) =>
    o.code === code && o.side === side && o.view !== undefined ? [o.view] : [],
  );
  if (used.length > 0) return [...new Set(used)];
  return [...(ruleSet.observations.get(code)?.views ?? ruleSet.findings.get(code)?.views ?? [])];
}

function findingSign({ code, side }: Ref, { concluded, record, ruleSet }: Work): Sign {
  const found = concluded.findings.get(keyOf(code, side));
  const { sameJudge, otherJudge } = ruleSet.parts.constants.change.severitySteps;
  const anchors = ruleSet.texts.observations[code]?.anchors;
  const base = {
    kind: 'finding' as const,
    code,
    label: labelOfFinding(ruleSet, code),
    side,
    views: viewsFor(code, side, record, ruleSet),
    unit: null,
    now: found?.severity ?? null,
    smallestBelievable: sameJudge,
  };
  const words = { label: base.label, side: sideWords(ruleSet, side) };
  const say = (key: string, more: { readonly [name: string]: string } = {}): string =>
    phrase(ruleSet, key, { ...words, ...more });
  if (found === undefined) return { ...base, progress: null, text: say('plan-sign-unseen') };
  if (found.severity === 0) return { ...base, progress: null, text: say('plan-sign-number-only') };
  const target = (steps: number): string => {
    const severity = found.severity - steps;
    if (severity < 0) return phrase(ruleSet, 'plan-sign-no-way');
    if (severity === 0) return phrase(ruleSet, 'plan-sign-gone');
    const anchor = anchors?.[severity - 1] ?? '';
    return phrase(ruleSet, 'plan-sign-at-most', { severity: String(severity), anchor });
  };
  const text = say('plan-sign-finding', {
    now: String(found.severity),
    target: target(sameJudge),
    other: target(otherJudge),
  });
  return { ...base, progress: { atMost: found.severity - sameJudge }, text };
}

const round = (value: number): number => Number(value.toPrecision(4));

function measurementSign(code: string, side: Side, finding: string, { record, ruleSet }: Work): Sign[] {
  const entries = record.measurements.filter((m) => m.code === code && m.side === side);
  if (entries.length === 0) return [];
  // the next film will have other clips, so nothing of this one is its pair
  const alike = entries.map(({ clip: _, ...entry }) => entry);
  const again = compareValues({ before: alike, after: alike }, ruleSet);
  const value = again.before;
  const limit = smallestBelievable(code, again, ruleSet);
  const better = (change: number): boolean => directionOf(code, value, value + change, ruleSet) === 'better';
  const unit = ruleSet.measurements.get(code)?.unit ?? '';
  const label = ruleSet.texts.measurements[code]?.label ?? code;
  const way = limit === null ? null : better(-limit) ? 'less' : better(limit) ? 'more' : null;
  const target = limit === null || way === null ? null : round(value + (way === 'less' ? -limit : limit));
  const text = phrase(ruleSet, way === null ? 'plan-sign-no-limit' : `plan-sign-${way}`, {
    label,
    side: sideWords(ruleSet, side),
    unit,
    now: String(round(value)),
    target: String(target),
    limit: String(limit === null ? null : round(limit)),
  });
  return [
    {
      kind: 'measurement',
      code,
      label,
      side,
      views: viewsFor(finding, side, record, ruleSet),
      unit,
      now: round(value),
      smallestBelievable: limit === null ? null : round(limit),
      progress: target === null ? null : way === 'less' ? { atMost: target } : { atLeast: target },
      text,
    },
  ];
}

/** @returns findings first, the worst ahead, then the numbers that report on them. */
export function signsOf(focus: Focus, work: Work): Sign[] {
  const { ruleSet } = work;
  const seen = shown(focus, work).slice(0, ruleSet.parts.constants.plans.signsPerFocus);
  const refs = seen.length > 0 ? seen : telling(focus, ruleSet);
  const numbers = refs.flatMap(({ code, side }) =>
    measurementsOf(code, ruleSet).flatMap((m) =>
      [...new Set([side, 'body' as const])].flatMap((s) => measurementSign(m, s, code, work)),
    ),
  );
  const unique = [...new Map(numbers.map((s) => [keyOf(s.code, s.side), s])).values()];
  return [...refs.map((r) => findingSign(r, work)), ...unique];
}
