/**
 * What one entry of the record says about a finding, in dB and in severity: the eye, a measurement, a good form that
 * speaks against a fault, a sign that excludes another.
 */
import type { Fired } from '../engine/stage.ts';
import type { QualityFlag, ReportParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { EntriesByFact } from './facts.ts';
import { bandShares, type MeasuredParams, type WeighedBand, weighBands } from './measured-grade.ts';
import type { MeasuredEntry, SeenEntry } from './record.ts';
import { goodFormDb, reportDb } from './report-weights.ts';

/** Chances of slight, moderate and marked; what is missing to 1 is the chance that the fault is not there. */
export type SeverityShares = readonly [slight: number, moderate: number, marked: number];

export type ReportKind = 'observed' | 'measured' | 'opposite' | 'excluded';

export interface Report {
  readonly kind: ReportKind;
  readonly rule: string;
  /** Code of the observation or measurement that reports. */
  readonly source: string;
  /** Positive speaks for present, negative for absent. */
  readonly db: number;
  readonly severity: 0 | 1 | 2 | 3;
  readonly severityShares: SeverityShares;
  /** How the weight of a measured value came about. */
  readonly measured?: {
    readonly value: number;
    readonly standardDeviation?: number;
    readonly bands: readonly WeighedBand[];
  };
  /** The view took some of its weight. */
  readonly limitedByView: boolean;
}

export const NOT_THERE: SeverityShares = [0, 0, 0];

const certainly = (severity: 0 | 1 | 2 | 3): SeverityShares => [
  severity === 1 ? 1 : 0,
  severity === 2 ? 1 : 0,
  severity === 3 ? 1 : 0,
];

/** The likeliest severity of a fault that is there; a tie goes to the milder one. */
function likeliest(shares: SeverityShares): 1 | 2 | 3 {
  const [slight, moderate, marked] = shares;
  if (marked > moderate && marked > slight) return 3;
  return moderate > slight ? 2 : 1;
}

/** Mean severity of a fault if it is there, 1 to 3; 0 where nothing speaks for it. */
export function meanSeverity([slight, moderate, marked]: SeverityShares): number {
  const there = slight + moderate + marked;
  return there === 0 ? 0 : (slight + 2 * moderate + 3 * marked) / there;
}

function measuredReport(
  entry: MeasuredEntry,
  p: MeasuredParams,
  ruleSet: RuleSet,
): Pick<Report, 'db' | 'severity' | 'severityShares' | 'measured'> {
  const { certaintyDb } = ruleSet.parts.constants.reports;
  const how = ruleSet.findings.get(p.finding)?.how === 'filmed' ? 'filmed' : 'asked';
  const { value, standardDeviation } = entry;
  const shares = bandShares(value, standardDeviation, p);
  const bands = weighBands(shares, certaintyDb[how][entry.certainty], ruleSet);
  const db = bands.reduce((sum, band) => sum + band.share * band.db, 0);
  const severityShares: SeverityShares = db > 0 ? [shares[2], shares[3], shares[4]] : NOT_THERE;
  return {
    db,
    severity: db > 0 ? likeliest(severityShares) : 0,
    severityShares,
    measured: { value, ...(standardDeviation === undefined ? {} : { standardDeviation }), bands },
  };
}

function seenDb(kind: 'seen' | 'opposite' | 'excluded', entry: SeenEntry, ruleSet: RuleSet): number {
  if (kind === 'opposite') return entry.severity > 0 ? -goodFormDb(entry, ruleSet) : 0;
  if (kind === 'excluded') return entry.severity > 0 ? -reportDb(entry, ruleSet) : 0;
  return entry.severity > 0 ? reportDb(entry, ruleSet) : -reportDb(entry, ruleSet);
}

/**
 * The most that a report on this finding may count, from the quality flags of the film. An entry made from the missing
 * view is not limited by its absence.
 */
export function viewCapDb(
  finding: string,
  view: string | undefined,
  flags: readonly QualityFlag[],
  ruleSet: RuleSet,
): number {
  const caps = flags
    .flatMap((flag) => flag.caps)
    .filter((c) => c.findings.includes(finding))
    .filter((c) => view === undefined || !c.unlessSeenFrom?.some((v) => v === view));
  return Math.min(
    Number.POSITIVE_INFINITY,
    ...caps.map((c) => ruleSet.parts.constants.reports.viewCapDb[c.view]),
  );
}

/** A weight with the view's limit applied, and whether the limit took something. */
function limited(db: number, capDb: number): { db: number; limitedByView: boolean } {
  return { db: Math.sign(db) * Math.min(Math.abs(db), capDb), limitedByView: Math.abs(db) > capDb };
}

const KIND: Readonly<Record<ReportParams['kind'], ReportKind>> = {
  seen: 'observed',
  measured: 'measured',
  opposite: 'opposite',
  excluded: 'excluded',
};

export function reportsOf(
  fired: Fired<ReportParams>,
  entries: EntriesByFact,
  flags: readonly QualityFlag[],
  ruleSet: RuleSet,
): Report[] {
  const p = fired.params;
  const base = { kind: KIND[p.kind], rule: fired.rule.id };
  const facts = fired.leaves().flatMap((leaf) => (leaf.truth === true ? [leaf.fact] : []));
  // a whole-body rule asks both sides of a sided fact, and an entry without a side stands behind both
  const behind = <T>(map: ReadonlyMap<string, readonly T[]>): T[] => [
    ...new Set(facts.flatMap((f) => map.get(f) ?? [])),
  ];
  if (p.kind === 'measured') {
    return behind(entries.measured).flatMap((entry) => {
      const weighed = measuredReport(entry, p, ruleSet);
      // a number without a side confirms a fault only on the side where the eye saw it, if it saw it at all, and never
      // on a side where the eye is sure that it is not there
      if (
        weighed.db > 0 &&
        entry.side === 'body' &&
        fired.rule.side !== 'body' &&
        !eyeAgrees(p.finding, fired.rule.side, entries)
      )
        return [];
      return [
        {
          ...base,
          source: entry.code,
          ...weighed,
          ...limited(weighed.db, viewCapDb(p.finding, entry.view, flags, ruleSet)),
        },
      ];
    });
  }
  const { kind, finding } = p;
  return behind(entries.seen).map((entry) => {
    const severity = kind === 'seen' ? entry.severity : 0;
    return {
      ...base,
      source: entry.code,
      ...limited(seenDb(kind, entry, ruleSet), viewCapDb(finding, entry.view, flags, ruleSet)),
      severity,
      severityShares: certainly(severity),
    };
  });
}

function eyeAgrees(finding: string, side: 'left' | 'right', entries: EntriesByFact): boolean {
  const looks = (s: 'left' | 'right'): readonly SeenEntry[] => entries.seen.get(`${finding}@${s}`) ?? [];
  const seenOn = (s: 'left' | 'right'): boolean => looks(s).some((e) => e.severity > 0);
  const surelyAbsent = !seenOn(side) && looks(side).some((e) => e.severity === 0 && e.certainty === 'sure');
  if (surelyAbsent) return false;
  return seenOn(side) || !seenOn(side === 'left' ? 'right' : 'left');
}
