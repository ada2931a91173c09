/** All reports on one finding become one number. */
import type { Side } from '../../../src/contract/common.ts';
import type { RuleInstance } from '../../../src/engine/stage.ts';
import type { QualityFlag, ReportParams } from '../../../src/knowledge/parts.ts';
import { factsThatHold, firing, type Words } from './conditions.ts';
import type { Known } from './facts.ts';
import type { Seen } from './record.ts';
import { keyOf, type RuleBook } from './rule-book.ts';
import { goodFormDb, measuredDb, seenDb, viewCap } from './weights.ts';

interface Report {
  readonly kind: ReportParams['kind'];
  readonly db: number;
  readonly severity: number;
  /** Chances of slight, moderate and marked. */
  readonly shares: readonly number[];
  readonly limitedByView: boolean;
}

export interface Finding {
  readonly code: string;
  readonly side: Side;
  readonly db: number;
  readonly severity: number;
  readonly shares: readonly number[];
  readonly conflict: boolean;
  readonly contradiction: boolean;
  readonly limitedByView: boolean;
}

export type Findings = ReadonlyMap<string, Finding>;

/** Mean severity if it is there. */
export function meanSeverity(finding: Finding | undefined): number {
  const [slight = 0, moderate = 0, marked = 0] = finding?.shares ?? [];
  const there = slight + moderate + marked;
  return there === 0 ? 0 : (slight + 2 * moderate + 3 * marked) / there;
}

function eyeAgrees(finding: string, side: 'left' | 'right', seen: Known['seen']): boolean {
  const looks = (s: string): readonly Seen[] => seen.get(`${finding}@${s}`) ?? [];
  const seenOn = (s: string): boolean => looks(s).some((e) => e.severity > 0);
  if (seenOn(side)) return true;
  if (looks(side).some((e) => e.severity === 0 && e.certainty === 'sure')) return false;
  return !seenOn(side === 'left' ? 'right' : 'left');
}

function reportsOf(
  rule: RuleInstance<ReportParams>,
  known: Known,
  flags: readonly QualityFlag[],
  words: Words,
  book: RuleBook,
): Report[] {
  const p = rule.event.params;
  const facts = factsThatHold(rule.conditions, known.facts, words);
  const behind = <T>(lists: ReadonlyMap<string, readonly T[]>): T[] => [
    ...new Set(facts.flatMap((fact) => lists.get(fact) ?? [])),
  ];
  const capped = (db: number, view: string | undefined) => {
    const cap = viewCap(p.finding, view, flags, book);
    return { db: Math.sign(db) * Math.min(Math.abs(db), cap), limitedByView: Math.abs(db) > cap };
  };
  const reports: Report[] = [];
  if (p.kind === 'measured') {
    for (const entry of behind(known.measured)) {
      const { db, severity, shares } = measuredDb(entry, p, book);
      // a number without a side confirms a fault only where the eye does not disagree
      const unsided = entry.side === 'body' && rule.side !== 'body';
      if (db > 0 && unsided && !eyeAgrees(p.finding, rule.side as 'left' | 'right', known.seen)) continue;
      reports.push({ kind: p.kind, ...capped(db, entry.view), severity, shares });
    }
    return reports;
  }
  for (const entry of behind(known.seen)) {
    const there = entry.severity > 0;
    let db = 0;
    if (p.kind === 'opposite') db = there ? -goodFormDb(entry, book) : 0;
    else if (p.kind === 'excluded') db = there ? -seenDb(entry, book) : 0;
    else db = there ? seenDb(entry, book) : -seenDb(entry, book);
    const severity = p.kind === 'seen' ? entry.severity : 0;
    const shares = [1, 2, 3].map((grade) => (severity === grade ? 1 : 0));
    reports.push({ kind: p.kind, ...capped(db, entry.view), severity, shares });
  }
  return reports;
}

function combine(code: string, side: Side, reports: readonly Report[], book: RuleBook): Finding {
  const c = book.parts.constants.reports;
  const total = (list: readonly Report[]): number =>
    list
      .map((r) => Math.abs(r.db))
      .sort((a, b) => b - a)
      .reduce((sum, db, k) => sum + db * c.discount ** k, 0);
  const speaking = reports.filter((r) => r.db > 0).sort((a, b) => b.db - a.db || b.severity - a.severity);
  const forIt = total(speaking);
  const against = total(reports.filter((r) => r.db < 0));
  const direct = reports.filter((r) => r.kind === 'seen' || r.kind === 'measured');
  const db = Math.max(-c.limitDb, Math.min(c.limitDb, forIt - against));
  const strongest = db >= 0 ? speaking[0] : undefined;
  return {
    code,
    side,
    db,
    severity: strongest?.severity ?? 0,
    shares: strongest?.shares ?? [0, 0, 0],
    conflict: forIt >= c.conflictDb && against >= c.conflictDb,
    contradiction:
      direct.some((r) => r.db >= c.contradictionDb) && direct.some((r) => r.db <= -c.contradictionDb),
    limitedByView: reports.every((r) => r.limitedByView),
  };
}

export function readFindings(
  known: Known,
  flagCodes: readonly string[],
  words: Words,
  book: RuleBook,
): Findings {
  const flags = flagCodes.flatMap((code) => book.flags.get(code) ?? []);
  const lists = new Map<string, { code: string; side: Side; reports: Report[] }>();
  for (const rule of firing(book.reports, known.facts, words)) {
    const code = rule.event.params.finding;
    const side = book.findings.get(code)?.sided ? rule.side : 'body';
    const reports = reportsOf(rule, known, flags, words, book).filter((r) => r.db !== 0);
    if (reports.length === 0) continue;
    const list = lists.get(keyOf(code, side));
    if (list === undefined) lists.set(keyOf(code, side), { code, side, reports });
    else list.reports.push(...reports);
  }
  const findings = new Map<string, Finding>();
  for (const key of [...lists.keys()].sort()) {
    const { code, side, reports } = lists.get(key)!;
    findings.set(key, combine(code, side, reports, book));
  }
  publish(findings, known, book);
  return findings;
}

function publish(findings: Findings, { facts }: Known, book: RuleBook): void {
  for (const [key, { db, severity }] of findings) {
    const size = Math.abs(db);
    facts.set(`finding:${key}`, {
      severity: severity as 0 | 1 | 2 | 3,
      certainty: size >= 12.5 ? 'sure' : size >= 7.5 ? 'likely' : 'unsure',
      ...(db === 0 ? { disputed: true } : {}),
    });
  }
  const states = [...findings.values()];
  const faults = states.filter((f) => book.observations.get(f.code)?.polarity === 'fault');
  facts.set('looked-at', states.filter((f) => book.findings.get(f.code)?.how !== 'asked').length);
  facts.set('contradictions', states.filter((f) => f.contradiction).length);
  facts.set('worst-fault', Math.max(0, ...faults.map((f) => f.severity)));
  const gaps = faults.flatMap((f) => {
    const other = f.side === 'left' ? findings.get(`${f.code}@right`) : undefined;
    return other === undefined ? [] : [gradesApart(meanSeverity(f), meanSeverity(other))];
  });
  if (gaps.length > 0) facts.set('side-gap', Math.max(...gaps));
}

/** Whole grades between two severities; three quarters of a grade count as one. */
export const gradesApart = (a: number, b: number): number => Math.floor(Math.abs(a - b) + 0.25);
