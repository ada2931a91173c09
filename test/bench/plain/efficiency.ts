/** How much of each arm's stroke works, phase by phase, by eye. */
import type { Arm } from '../../../src/contract/common.ts';
import type { AssessmentRequest } from '../../../src/contract/request.ts';
import { type DeductionParams, PHASES } from '../../../src/knowledge/parts.ts';
import type { Weighed } from './causes.ts';
import { type Facts, firing, type Words } from './conditions.ts';
import type { Findings } from './findings.ts';
import type { Gate } from './gate.ts';
import { predicted } from './propagate.ts';
import type { Entries } from './record.ts';
import { keyOf, type RuleBook } from './rule-book.ts';

type Phase = (typeof PHASES)[number];
interface Deduction {
  readonly finding: string;
  readonly share: number;
}
export interface Raw {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
  readonly lost: readonly { readonly observation: string; readonly share: number }[];
  readonly assessed: readonly string[];
  readonly notAssessed: readonly string[];
}
export type Score = ({ readonly status: 'scored' } & Raw) | { readonly status: 'not-scorable' };
export interface ArmScores {
  readonly catch: Score;
  readonly pull: Score;
  readonly push: Score;
  readonly arm: Score;
}

/** The largest fault counts whole, the next half, then a quarter. */
function retained(deductions: readonly Deduction[], floor: number): { share: number; lost: Raw['lost'] } {
  const sorted = [...deductions].sort((a, b) => b.share - a.share || (a.finding < b.finding ? -1 : 1));
  let left = 1;
  const lost = sorted.map(({ finding, share }, k) => {
    const taken = left * (share / 2 ** k);
    left -= taken;
    return { observation: finding, share: taken };
  });
  return { share: Math.max(floor, left), lost };
}

/** One fault under two names is charged under the larger one. */
function chargedOnce(deductions: readonly Deduction[], rules: readonly DeductionParams[]): Deduction[] {
  const shareOf = (finding: string): number => deductions.find((d) => d.finding === finding)?.share ?? -1;
  const dropped = new Set<string>();
  for (const { finding, replaces = [] } of rules) {
    for (const other of replaces) dropped.add(shareOf(other) > shareOf(finding) ? finding : other);
  }
  return deductions.filter((d) => !dropped.has(d.finding));
}

function hasView(phase: Phase, entries: Entries, book: RuleBook): boolean {
  const needed: readonly string[] = book.parts.constants.efficiency.views[phase];
  if (entries.flags.includes('above-water-only')) return false;
  if (entries.views !== undefined) return needed.some((v) => entries.views!.includes(v));
  return !(entries.flags.includes('no-side-under') && needed.every((v) => v === 'side-under'));
}

function reserveOf(entries: Entries, request: AssessmentRequest, book: RuleBook): number {
  const { reserve } = book.parts.constants.efficiency;
  const side = entries.views?.includes('side-under') ?? false;
  const front = entries.views?.includes('front-under') ?? false;
  if (side !== front) return reserve.oneView;
  const sure = entries.seen.every((e) => e.certainty === 'sure');
  return side && sure && (request.recording?.cycles ?? 0) >= 3 ? reserve.good : reserve.usual;
}

export function scoreArms(
  facts: Facts,
  findings: Findings,
  weighed: Weighed,
  gate: Gate,
  entries: Entries,
  request: AssessmentRequest,
  words: Words,
  book: RuleBook,
): { left: ArmScores; right: ArmScores; difference: Score } {
  const e = book.parts.constants.efficiency;
  const fired = new Set(firing(book.deductions, facts, words));

  const scorePhase = (arm: Arm, phase: Phase): Raw | undefined => {
    const rules = book.deductions.filter((r) => r.side === arm && r.event.params.phase === phase);
    const looked = (finding: string): boolean => (findings.get(keyOf(finding, arm))?.db ?? 0) !== 0;
    const codes = rules.map((r) => r.event.params.finding);
    const assessed = codes.filter(looked);
    const sore = gate.restrictions.some(
      (r) => r.bodyPart === 'whole-body' || (r.bodyPart === 'shoulder' && r.side === arm),
    );
    if (sore || !hasView(phase, entries, book) || assessed.length === 0) return undefined;
    const params = rules.map((r) => r.event.params);
    const seen = (breathShare: number): Deduction[] =>
      rules
        .filter((r) => fired.has(r))
        .map(({ event: { params: p } }) => {
          const likely = findings.get(keyOf(p.finding, arm))?.shares ?? [0, 0, 0];
          const charged = p.shares.reduce((sum, share, k) => sum + share * likely[k]!, 0);
          return { finding: p.finding, share: charged * (p.onlyOn === undefined ? 1 : breathShare) };
        });
    const unlooked = params
      .filter((p) => !looked(p.finding))
      .map((p): Deduction => {
        const child = weighed.network.findingByKey.get(keyOf(p.finding, arm))!;
        const chance = predicted(child, weighed.beliefs, weighed.inputs);
        const share = chance * p.shares[0] * (p.onlyOn === undefined ? 1 : e.breathStrokeShare.low);
        return { finding: p.finding, share };
      });
    const atMost = retained(chargedOnce(seen(e.breathStrokeShare.estimate), params), e.floor);
    const atLeast = retained(chargedOnce([...seen(e.breathStrokeShare.low), ...unlooked], params), e.floor);
    const reserve = reserveOf(entries, request, book);
    return {
      estimate: atMost.share * 100,
      low: Math.max(0, atLeast.share * 100 - reserve),
      high: atMost.share * 100 + reserve,
      lost: atMost.lost,
      assessed,
      notAssessed: codes.filter((code) => !looked(code)),
    };
  };

  const publish = (raw: Raw | undefined): Score => {
    if (raw === undefined) return { status: 'not-scorable' };
    const round = (x: number): number => Math.min(e.cap, Math.round(x / e.roundTo) * e.roundTo);
    const estimate = round(raw.estimate);
    return {
      ...raw,
      status: 'scored',
      estimate,
      low: Math.min(round(raw.low), estimate),
      high: round(raw.high),
    };
  };

  const arm = (side: Arm): ArmScores => {
    const raw = {
      catch: scorePhase(side, 'catch'),
      pull: scorePhase(side, 'pull'),
      push: scorePhase(side, 'push'),
    };
    const whole = (): Raw | undefined => {
      if (PHASES.some((p) => raw[p] === undefined)) return undefined;
      const total = (field: 'estimate' | 'low' | 'high'): number =>
        PHASES.reduce((sum, p) => sum + e.weights[p] * raw[p]![field], 0);
      return {
        estimate: total('estimate'),
        low: total('low'),
        high: total('high'),
        lost: PHASES.flatMap((p) => raw[p]!.lost.map((l) => ({ ...l, share: l.share * e.weights[p] }))),
        assessed: PHASES.flatMap((p) => raw[p]!.assessed),
        notAssessed: PHASES.flatMap((p) => raw[p]!.notAssessed),
      };
    };
    return {
      catch: publish(raw.catch),
      pull: publish(raw.pull),
      push: publish(raw.push),
      arm: publish(whole()),
    };
  };
  const left = arm('left');
  const right = arm('right');
  if (left.arm.status !== 'scored' || right.arm.status !== 'scored') {
    return { left, right, difference: { status: 'not-scorable' } };
  }
  const [l, r] = [left.arm, right.arm];
  const difference: Score = {
    status: 'scored',
    estimate: r.estimate - l.estimate,
    low: r.low - l.high,
    high: r.high - l.low,
    lost: [],
    assessed: [],
    notAssessed: [],
  };
  return { left, right, difference };
}
