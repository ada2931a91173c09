/**
 * Stage 2. All reports on one finding (eye, measurement, opposite, other observers and clips) become one number:
 * how much they speak for it being there, in dB. A finding without a report does not appear at all.
 */
import type { Side } from '../contract/common.ts';
import type { Seen, Slots } from '../engine/facts.ts';
import type { Fired } from '../engine/stage.ts';
import type { ReportParams } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type EntriesByFact, setFact, slotsByCode } from './facts.ts';
import { type Flow, fire } from './pipeline.ts';
import { remembered } from './remembered.ts';
import { meanSeverity, NOT_THERE, type Report, reportsOf, type SeverityShares } from './reports.ts';

export interface FindingState {
  readonly code: string;
  readonly side: Side;
  /** Sum of all reports, -20 to +20 dB. */
  readonly db: number;
  readonly severity: 0 | 1 | 2 | 3;
  /** Of the strongest report that speaks for it: how bad the fault is, with the error of a measured value in it. */
  readonly severityShares: SeverityShares;
  readonly conflict: boolean;
  /** Both sides of the conflict are weighty: the record contradicts itself. */
  readonly contradiction: boolean;
  /** No view in hand shows it well: a fresh look from a better one is worth something. */
  readonly limitedByView: boolean;
  readonly reports: readonly Report[];
}

export type Findings = ReadonlyMap<string, FindingState>;

/** `code` or `code@side`: the key of a finding, a cause or a node of the network. */
export function keyOf(code: string, side: Side): string {
  return side === 'body' ? code : `${code}@${side}`;
}

/** Severity of the worst of these findings; a measured value near the end of a grade counts between the grades. */
export function worstOf(
  refs: readonly { readonly code: string; readonly side: Side }[],
  findings: Findings,
): number {
  const severities = refs.map(({ code, side }) => {
    const found = findings.get(keyOf(code, side));
    return found === undefined ? 0 : meanSeverity(found.severityShares);
  });
  return Math.max(0, ...severities);
}

/**
 * Whole grades between two severities. Three quarters of a grade count as one (judgement): grades are whole numbers by
 * eye, but the mean of a measured value with its error never quite reaches one.
 */
export function gradesApart(a: number, b: number): number {
  return Math.floor(Math.abs(a - b) + 0.25);
}

function combine(code: string, side: Side, reports: readonly Report[], ruleSet: RuleSet): FindingState {
  const c = ruleSet.parts.constants.reports;
  const weightiest = reports.toSorted((a, b) => Math.abs(b.db) - Math.abs(a.db) || b.severity - a.severity);
  // the k-th report that says the same counts half of the one before
  const total = (sign: 1 | -1): number => {
    let sum = 0;
    let share = 1;
    for (const r of weightiest) {
      if (r.db * sign <= 0) continue;
      sum += Math.abs(r.db) * share;
      share *= c.discount;
    }
    return sum;
  };
  const forIt = total(1);
  const against = total(-1);
  // a good sign beside a slight fault can both be true; two direct reports cannot
  const directly = (sign: 1 | -1): boolean =>
    reports.some((r) => (r.kind === 'observed' || r.kind === 'measured') && r.db * sign >= c.contradictionDb);
  const db = Math.max(-c.limitDb, Math.min(c.limitDb, forIt - against));
  const strongest = db >= 0 ? weightiest.find((r) => r.db > 0) : undefined;
  return {
    code,
    side,
    db,
    severity: strongest?.severity ?? 0,
    severityShares: strongest?.severityShares ?? NOT_THERE,
    conflict: forIt >= c.conflictDb && against >= c.conflictDb,
    contradiction: directly(1) && directly(-1),
    limitedByView: reports.every((r) => r.limitedByView),
    reports,
  };
}

function certaintyOf(db: number): Seen['certainty'] {
  const size = Math.abs(db);
  return size >= 12.5 ? 'sure' : size >= 7.5 ? 'likely' : 'unsure';
}

const findingSlots = remembered((ruleSet: RuleSet) => {
  const keys = ruleSet.parts.findings.flatMap(({ code }) => [code, `${code}@left`, `${code}@right`]);
  return slotsByCode(ruleSet, keys, 'finding:');
});

/**
 * Present or absent as a fact that later rules can ask for; reports that cancel out make it disputed.
 */
function publish(findings: Findings, slots: Slots, ruleSet: RuleSet): void {
  const slotOf = findingSlots(ruleSet);
  for (const [key, state] of findings) {
    const slot = slotOf.get(key);
    if (slot === undefined) continue;
    slots[slot] = {
      ...(state.db === 0 ? { disputed: true as const } : {}),
      severity: state.severity,
      certainty: certaintyOf(state.db),
    };
  }
  const states = [...findings.values()];
  // what was only asked says nothing about the stroke
  const looked = states.filter((s) => ruleSet.findings.get(s.code)?.how !== 'asked');
  setFact(ruleSet, slots, 'looked-at', looked.length);
  setFact(ruleSet, slots, 'contradictions', states.filter((s) => s.contradiction).length);
  const faults = states.filter((s) => ruleSet.observations.get(s.code)?.polarity === 'fault');
  setFact(ruleSet, slots, 'worst-fault', Math.max(0, ...faults.map((s) => s.severity)));
  const gaps = faults.flatMap((s) => {
    const other = s.side === 'left' ? findings.get(`${s.code}@right`) : undefined;
    if (other === undefined) return [];
    return [gradesApart(meanSeverity(s.severityShares), meanSeverity(other.severityShares))];
  });
  if (gaps.length > 0) setFact(ruleSet, slots, 'side-gap', Math.max(...gaps));
}

/** The finding that each rule reports on, by the place of the rule; and the rules that report on each finding. */
const reporting = remembered((ruleSet: RuleSet) => {
  const keys = ruleSet.stages.reports.rules.map(({ side, event: { params } }) =>
    keyOf(params.finding, ruleSet.findings.get(params.finding)?.sided ? side : 'body'),
  );
  return { keys, rules: Map.groupBy(keys.keys(), (place) => keys[place] as string) };
});

/** Findings by key, sorted by code and side. */
function statesOf(
  fired: readonly Fired<ReportParams>[],
  entries: EntriesByFact,
  flagCodes: readonly string[],
  ruleSet: RuleSet,
): Map<string, FindingState> {
  const flags = flagCodes.flatMap((code) => ruleSet.flags.get(code) ?? []);
  const reports = new Map<string, Report[]>();
  const { keys } = reporting(ruleSet);
  for (const report of fired) {
    const key = keys[report.place] as string;
    const list = reports.get(key) ?? [];
    list.push(...reportsOf(report, entries, flags, ruleSet).filter((r) => r.db !== 0));
    if (list.length > 0) reports.set(key, list);
  }
  return new Map(
    [...reports]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, list]) => {
        const [code, side = 'body'] = key.split('@') as [string, Side?];
        return [key, combine(code, side, list, ruleSet)] as const;
      }),
  );
}

/**
 * @param flagCodes quality flags of the recording, stated or derived.
 * @returns findings by key, sorted by code and side.
 */
export function* readFindings(
  slots: Slots,
  entries: EntriesByFact,
  flagCodes: readonly string[],
  ruleSet: RuleSet,
): Flow<Findings> {
  const fired = yield* fire(ruleSet.stages.reports, slots);
  const findings = statesOf(fired, entries, flagCodes, ruleSet);
  publish(findings, slots, ruleSet);
  return findings;
}

/**
 * The findings after one look more at `code`: those that it can touch are read again, the others stand.
 *
 * @param changed slots of the facts that the look changed; the flags of the recording must be as they were
 */
export function readAgain(
  before: Findings,
  code: string,
  changed: Iterable<number>,
  slots: Slots,
  entries: EntriesByFact,
  flagCodes: readonly string[],
  ruleSet: RuleSet,
): Findings {
  const { reports } = ruleSet.stages;
  const { keys, rules } = reporting(ruleSet);
  const touched = new Set(reports.readersOf(changed).map((place) => keys[place] as string));
  // a number without a side listens to what the eye saw of the same finding on either side
  for (const side of ['body', 'left', 'right'] as const) touched.add(keyOf(code, side));
  const among = [...touched].flatMap((key) => rules.get(key) ?? []).sort((a, b) => a - b);
  const findings = new Map(before);
  for (const key of touched) findings.delete(key);
  for (const [key, state] of statesOf(reports.select(slots, among), entries, flagCodes, ruleSet)) {
    findings.set(key, state);
  }
  publish(findings, slots, ruleSet);
  return findings;
}
