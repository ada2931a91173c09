/** How much one entry weighs, in dB. */
import { errorFunction } from 'simple-statistics';
import type { QualityFlag, ReportParams } from '../../../src/knowledge/parts.ts';
import type { Measured, Seen } from './record.ts';
import type { RuleBook } from './rule-book.ts';

type Thresholds = Extract<ReportParams, { kind: 'measured' }>;

function certaintyDb({ code, certainty }: Seen, book: RuleBook): number {
  const views = book.observations.get(code)?.views ?? [];
  const asked = views.includes('self-report') || views.every((v) => v === 'land-test' || v === 'pool-probe');
  return book.parts.constants.reports.certaintyDb[asked ? 'asked' : 'filmed'][certainty];
}

const severityCap = (severity: number, book: RuleBook): number =>
  book.parts.constants.reports.severityCapDb[severity - 1] ?? Number.POSITIVE_INFINITY;

/** A report on the finding of the same name, always positive. */
export function seenDb(entry: Seen, book: RuleBook): number {
  const certainty = certaintyDb(entry, book);
  const asked = book.observations.get(entry.code)?.views.includes('self-report');
  if (entry.severity === 0 || asked) return certainty;
  return Math.min(certainty, severityCap(entry.severity, book));
}

/** The good form was seen: sometimes, mostly, always. */
export function goodFormDb(entry: Seen, book: RuleBook): number {
  return Math.min(certaintyDb(entry, book), book.parts.constants.reports.goodCapDb[entry.severity - 1] ?? 0);
}

/** The most that any report on a finding may count through this film. */
export function viewCap(
  finding: string,
  view: string | undefined,
  flags: readonly QualityFlag[],
  book: RuleBook,
): number {
  let cap = Number.POSITIVE_INFINITY;
  for (const flag of flags) {
    for (const c of flag.caps) {
      if (!c.findings.includes(finding)) continue;
      if (view !== undefined && c.unlessSeenFrom?.some((v) => v === view)) continue;
      cap = Math.min(cap, book.parts.constants.reports.viewCapDb[c.view]);
    }
  }
  return cap;
}

const shareBelow = (z: number): number => (1 + errorFunction(z / Math.SQRT2)) / 2;

/** Chances that a measured value is clearly good, nearly good, slight, moderate, marked. */
function gradeShares({ value, standardDeviation }: Measured, p: Thresholds): number[] {
  const sign = p.direction === 'at-least' ? 1 : -1;
  const slight = sign * p.slight;
  const good = p.absentAt === undefined ? slight - Math.abs(p.moderate - p.slight) : sign * p.absentAt;
  const limits = [good, slight, sign * p.moderate, sign * p.marked];
  const badness = sign * value;
  const below = limits.map((limit, k) => {
    if (standardDeviation) return shareBelow((limit - badness) / standardDeviation);
    return badness < limit || (k === 0 && badness === limit && limit < slight) ? 1 : 0;
  });
  return [below[0]!, below[1]! - below[0]!, below[2]! - below[1]!, below[3]! - below[2]!, 1 - below[3]!];
}

/** Weight of a measured value, and how bad the fault is if it speaks for one. */
export function measuredDb(
  entry: Measured,
  p: Thresholds,
  book: RuleBook,
): { db: number; severity: number; shares: number[] } {
  const how = book.findings.get(p.finding)?.how === 'filmed' ? 'filmed' : 'asked';
  const certainty = book.parts.constants.reports.certaintyDb[how][entry.certainty];
  const near = Math.min(certainty, book.parts.constants.reports.nearSideDb);
  const worth = [-certainty, -near, ...[1, 2, 3].map((s) => Math.min(certainty, severityCap(s, book)))];
  const grades = gradeShares(entry, p);
  let db = 0;
  grades.forEach((share, k) => {
    if (share > 0) db += share * worth[k]!;
  });
  if (db <= 0) return { db, severity: 0, shares: [0, 0, 0] };
  const [slight, moderate, marked] = grades.slice(2) as [number, number, number];
  const severity = marked > moderate && marked > slight ? 3 : moderate > slight ? 2 : 1;
  return { db, severity, shares: [slight, moderate, marked] };
}

/** How clearly a measured value passes the threshold of a rule, 0 to 1. */
export function clarity(
  value: number,
  deviation: number | undefined,
  operator: string,
  limit: unknown,
): number {
  if (!deviation || typeof limit !== 'number') return 1;
  const beyond = operator === 'measuredAtMost' ? limit - value : value - limit;
  return Math.max(0, 2 * shareBelow(beyond / deviation) - 1);
}
