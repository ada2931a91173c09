/** The entries of a request, written out for each side, and what the film can show. */
import type { Certainty, Side, View } from '../../../src/contract/common.ts';
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import type { RuleBook } from './rule-book.ts';

export interface Seen {
  readonly code: string;
  readonly side: Side;
  readonly severity: number;
  readonly certainty: Certainty;
  readonly view: View | undefined;
}

export interface Measured {
  readonly code: string;
  readonly side: Side;
  readonly value: number;
  readonly standardDeviation: number | undefined;
  readonly certainty: Certainty;
  readonly view: View | undefined;
}

export interface Entries {
  readonly seen: readonly Seen[];
  readonly measured: readonly Measured[];
  /** Views in hand; undefined when none is named. */
  readonly views: readonly string[] | undefined;
  /** Quality flags, stated or derived. */
  readonly flags: readonly string[];
}

type Pain = NonNullable<NonNullable<AssessmentRequest['health']>['pain']>[number];

/** Pain that the health questions tell counts like the observation of the same name. */
function painReports(
  request: AssessmentRequest,
  seen: readonly Seen[],
  measured: readonly Measured[],
): Seen[] {
  const { health } = request;
  if (health === undefined) return [];
  const reports: Seen[] = [];
  const add = (code: string, side: Side, pains: readonly Pain[], written: boolean): void => {
    if (pains.length === 0 && (written || !health.asked)) return;
    const score = Math.max(0, ...pains.map((p) => p.score));
    const severity = score === 0 ? 0 : score <= 3 ? 1 : 2;
    reports.push({ code, side, severity, certainty: 'sure', view: 'self-report' });
  };
  const of = (...sites: string[]): Pain[] => (health.pain ?? []).filter((p) => sites.includes(p.site));
  for (const side of ['left', 'right'] as const) {
    const written =
      seen.some((o) => o.code === 'shoulder-pain-report' && o.side === side) ||
      measured.some((m) => m.code === 'pain' && (m.side === side || m.side === 'body'));
    const pains = of('shoulder').filter((p) => p.side === side || p.side === undefined);
    add('shoulder-pain-report', side, pains, written);
  }
  const written = seen.some((o) => o.code === 'neck-or-back-complaint');
  add('neck-or-back-complaint', 'body', of('neck', 'back'), written);
  return reports;
}

function derivedFlags(request: AssessmentRequest, views: readonly string[] | undefined): string[] {
  const { cycles, framesPerSecond } = request.recording ?? {};
  const flags: string[] = [];
  if (cycles !== undefined && cycles < 3) flags.push('single-cycle');
  if (framesPerSecond !== undefined && framesPerSecond < 50) flags.push('low-frame-rate');
  if (views === undefined) return flags;
  if (!views.some((v) => v === 'side-under' || v === 'front-under' || v === 'rear'))
    flags.push('above-water-only');
  if (!views.includes('front-under')) flags.push('no-front-view');
  if (!views.includes('side-under')) flags.push('no-side-under');
  return flags;
}

export function readEntries(request: AssessmentRequest, book: RuleBook): Entries {
  const { recording } = request;
  const fallback = recording?.defaults?.certainty ?? 'likely';
  const looked = (request.observations ?? []).flatMap((o): Seen[] => {
    const sides: Side[] = o.side === 'both' ? ['left', 'right'] : [o.side ?? 'body'];
    const { code, severity, certainty = fallback, view } = o;
    return sides.map((side) => ({ code, side, severity, certainty, view }));
  });
  const measured = (request.measurements ?? []).map(
    ({ code, side = 'body', value, standardDeviation, certainty = fallback, view }): Measured => ({
      code,
      side,
      value,
      standardDeviation,
      certainty,
      view,
    }),
  );
  const seen = [...looked, ...painReports(request, looked, measured)];
  const named = [...(recording?.views ?? []), ...(recording?.clips ?? []).map((c) => c.view)];
  const views =
    recording?.views === undefined && named.length === 0
      ? undefined
      : [...new Set([...named, ...[...seen, ...measured].flatMap((e) => e.view ?? [])])];
  const stated = recording?.flags ?? [];
  const derived = derivedFlags(request, views).filter((f) => book.flags.has(f) && !stated.includes(f));
  return { seen, measured, views, flags: [...stated, ...derived] };
}

/** Names of the facts that an entry is about: one without a side speaks for both arms. */
export function factsOf(code: string, side: Side, book: RuleBook): string[] {
  if (!book.sided.has(code)) return [code];
  return side === 'body' ? [`${code}@left`, `${code}@right`] : [`${code}@${side}`];
}
