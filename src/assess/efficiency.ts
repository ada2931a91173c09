/**
 * Stage 5. How much of each arm's stroke works, phase by phase, by eye.
 *
 * `estimate` charges what was seen: at most this much works. `low` also charges every deduction that nobody looked
 * at, as a slight fault times its predicted probability, and takes off a reserve for misjudging; so a fault that is
 * seen never scores better than one not looked at, and that never better than one looked at and absent.
 * The number is a share of the swimmer's own best stroke. It is not propelling (Froude) efficiency.
 */
import type { Efficiency, PhaseScore } from '../contract/answer.ts';
import type { Arm, Because } from '../contract/common.ts';
import type { Slots } from '../engine/facts.ts';
import type { Fired } from '../engine/stage.ts';
import { type DeductionParams, PHASES } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { viewsOf } from './facts.ts';
import { type Findings, keyOf } from './findings.ts';
import type { Gate } from './health-gate.ts';
import { predicted } from './network/propagate.ts';
import type { Weighed } from './network/weigh.ts';
import { phrase } from './phrases.ts';
import { type Flow, fire } from './pipeline.ts';
import type { Record } from './record.ts';
import { remembered } from './remembered.ts';
import { NOT_THERE } from './reports.ts';

type Phase = (typeof PHASES)[number];
type Lost = Extract<PhaseScore, { status: 'scored' }>['lost'][number];

/** Not rounded, in percent. */
interface Raw {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
  readonly lost: readonly Lost[];
  readonly assessed: readonly string[];
  readonly notAssessed: readonly string[];
}
type Outcome = Raw | { readonly because: Because[] };

const isRaw = (outcome: Outcome): outcome is Raw => 'estimate' in outcome;

/** One deduction: the share of the phase that its fault takes away. */
interface Deduction {
  readonly finding: string;
  readonly rule: string;
  readonly share: number;
}

const largestFirst = (a: Deduction, b: Deduction): number =>
  b.share - a.share || (a.finding < b.finding ? -1 : 1);

/** The largest fault counts whole, the next half, then a quarter: prints of one fault are not charged twice. */
export function retained(
  deductions: readonly Deduction[],
  floor: number,
): { share: number; lost: { finding: string; rule: string; share: number }[] } {
  let left = 1;
  const lost = [...deductions].sort(largestFirst).map(({ finding, rule, share }, k) => {
    const taken = left * (share / 2 ** k);
    left -= taken;
    return { finding, rule, share: taken };
  });
  return { share: Math.max(floor, left), lost };
}

/** One fault under two names is charged under the larger one only. */
function chargedOnce(deductions: readonly Deduction[], rules: readonly DeductionParams[]): Deduction[] {
  const shareOf = (finding: string): number => deductions.find((d) => d.finding === finding)?.share ?? -1;
  const dropped = new Set(
    rules.flatMap(({ finding, replaces = [] }) =>
      replaces.map((other) => (shareOf(other) > shareOf(finding) ? finding : other)),
    ),
  );
  return deductions.filter((d) => !dropped.has(d.finding));
}

interface Context {
  readonly fired: readonly Fired<DeductionParams>[];
  readonly findings: Findings;
  readonly weighed: Weighed;
  readonly record: Record;
  readonly ruleSet: RuleSet;
  readonly gate: Gate;
  readonly flags: readonly string[];
}

/** A deduction of one phase of one arm, with the key of its finding. */
interface PhaseRule {
  readonly id: string;
  readonly key: string;
  readonly params: DeductionParams;
}

const phaseRules = remembered((ruleSet: RuleSet) => {
  const rulesOf = (arm: Arm) => (phase: Phase) =>
    ruleSet.stages.deductions.rules
      .filter((rule) => rule.side === arm && rule.event.params.phase === phase)
      .map(({ id, event: { params } }): PhaseRule => ({ id, params, key: keyOf(params.finding, arm) }));
  const phases = (arm: Arm): { readonly [P in Phase]: readonly PhaseRule[] } => {
    const of = rulesOf(arm);
    return { catch: of('catch'), pull: of('pull'), push: of('push') };
  };
  return { left: phases('left'), right: phases('right') };
});

function hasView(phase: Phase, c: Context): boolean {
  const needed = c.ruleSet.parts.constants.efficiency.views[phase];
  if (c.flags.includes('above-water-only')) return false;
  const views = viewsOf(c.record);
  if (views !== undefined) return needed.some((v) => views.includes(v));
  return !(c.flags.includes('no-side-under') && needed.every((v) => v === 'side-under'));
}

function reserveOf(c: Context): number {
  const { reserve } = c.ruleSet.parts.constants.efficiency;
  const views = viewsOf(c.record) ?? [];
  const side = views.includes('side-under');
  const front = views.includes('front-under');
  if (side !== front) return reserve.oneView;
  const sure = c.record.observations.every((o) => o.certainty === 'sure');
  return side && sure && (c.record.recording.cycles ?? 0) >= 3 ? reserve.good : reserve.usual;
}

function scorePhase(arm: Arm, phase: Phase, c: Context): Outcome {
  const { ruleSet, findings, weighed } = c;
  const e = ruleSet.parts.constants.efficiency;
  const rules = phaseRules(ruleSet)[arm][phase];
  const looked = ({ key }: PhaseRule): boolean => (findings.get(key)?.db ?? 0) !== 0;
  const assessed = rules.filter(looked);
  const unassessed = rules.filter((rule) => !looked(rule));

  if (
    c.gate.restrictions.some(
      (r) => r.bodyPart === 'whole-body' || (r.bodyPart === 'shoulder' && r.side === arm),
    )
  ) {
    return { because: [{ code: 'painful-arm', text: phrase(ruleSet, 'painful-arm') }] };
  }
  if (!hasView(phase, c))
    return {
      because: [{ code: 'no-view-for-phase', text: phrase(ruleSet, 'no-view-for-phase', { phase }) }],
    };
  if (assessed.length === 0)
    return { because: [{ code: 'nothing-scored', text: phrase(ruleSet, 'nothing-scored', { phase }) }] };

  const fired = c.fired.filter((f) => f.rule.side === arm && f.params.phase === phase);
  const seen = (breathShare: number): Deduction[] =>
    fired.map(({ rule, params }) => {
      // a measured value near the end of a grade is charged between the grades
      const likely = findings.get(keyOf(params.finding, arm))?.severityShares ?? NOT_THERE;
      const charged = params.shares.reduce((sum, s, k) => sum + s * (likely[k] ?? 0), 0);
      const share = charged * (params.onlyOn === undefined ? 1 : breathShare);
      return { finding: params.finding, rule: rule.id, share };
    });
  const unlooked = unassessed.map(({ id, key, params: { finding, shares, onlyOn } }): Deduction => {
    const child = weighed.network.childOf.get(key) as number;
    const chance = predicted(weighed.network, weighed.beliefs, child, weighed.inputs.active);
    return {
      finding,
      rule: id,
      share: chance * shares[0] * (onlyOn === undefined ? 1 : e.breathStrokeShare.low),
    };
  });
  const params = rules.map((rule) => rule.params);
  const once = (deductions: Deduction[]): Deduction[] => chargedOnce(deductions, params);

  const atMost = retained(once(seen(e.breathStrokeShare.estimate)), e.floor);
  const atLeast = retained(once([...seen(e.breathStrokeShare.low), ...unlooked]), e.floor);
  const reserve = reserveOf(c);
  return {
    estimate: atMost.share * 100,
    low: Math.max(0, atLeast.share * 100 - reserve),
    high: atMost.share * 100 + reserve,
    lost: atMost.lost.map(({ finding, rule, share }) => ({
      observation: finding,
      share,
      text: ruleSet.texts.deductions[rule] ?? '',
    })),
    assessed: assessed.map((rule) => rule.params.finding),
    notAssessed: unassessed.map((rule) => rule.params.finding),
  };
}

function wholeArm(phases: { readonly [P in Phase]: Outcome }, ruleSet: RuleSet): Outcome {
  const { weights } = ruleSet.parts.constants.efficiency;
  const missing = PHASES.filter((phase) => !isRaw(phases[phase]));
  const painful = PHASES.flatMap((phase) => {
    const outcome = phases[phase];
    return isRaw(outcome) ? [] : outcome.because.filter((b) => b.code === 'painful-arm');
  });
  if (painful.length > 0) return { because: painful.slice(0, 1) };
  if (missing.length > 0) {
    return {
      because: [
        { code: 'phase-missing', text: phrase(ruleSet, 'phase-missing', { phases: missing.join(', ') }) },
      ],
    };
  }
  const raw = phases as { readonly [P in Phase]: Raw };
  const total = (field: 'estimate' | 'low' | 'high'): number =>
    PHASES.reduce((sum, p) => sum + weights[p] * raw[p][field], 0);
  return {
    estimate: total('estimate'),
    low: total('low'),
    high: total('high'),
    lost: PHASES.flatMap((p) => raw[p].lost.map((l) => ({ ...l, share: l.share * weights[p] }))),
    assessed: PHASES.flatMap((p) => raw[p].assessed),
    notAssessed: PHASES.flatMap((p) => raw[p].notAssessed),
  };
}

/** Rounded to 5 and capped: "no visible loss" is not "perfect". */
function publishScore(outcome: Outcome, ruleSet: RuleSet): PhaseScore {
  if (!isRaw(outcome)) return { status: 'not-scorable', because: outcome.because };
  const { cap, roundTo } = ruleSet.parts.constants.efficiency;
  const round = (x: number): number => Math.min(cap, Math.round(x / roundTo) * roundTo);
  return {
    status: 'scored',
    estimate: round(outcome.estimate),
    low: Math.min(round(outcome.low), round(outcome.estimate)),
    high: round(outcome.high),
    lost: [...outcome.lost],
    assessed: [...outcome.assessed],
    notAssessed: [...outcome.notAssessed],
  };
}

/** Right minus left, from the numbers as they are shown. */
function differenceOf(left: PhaseScore, right: PhaseScore, ruleSet: RuleSet): PhaseScore {
  if (left.status !== 'scored' || right.status !== 'scored') {
    return {
      status: 'not-scorable',
      because: [{ code: 'arm-missing', text: phrase(ruleSet, 'arm-missing') }],
    };
  }
  return {
    status: 'scored',
    estimate: right.estimate - left.estimate,
    low: right.low - left.high,
    high: right.high - left.low,
    lost: [],
    assessed: [],
    notAssessed: [],
  };
}

export function* scoreArms(
  slots: Slots,
  findings: Findings,
  weighed: Weighed,
  gate: Gate,
  record: Record,
  flags: readonly string[],
  ruleSet: RuleSet,
): Flow<Efficiency> {
  const fired = yield* fire(ruleSet.stages.deductions, slots);
  const context: Context = { fired, findings, weighed, record, ruleSet, gate, flags };
  const arm = (side: Arm): Efficiency['left'] => {
    const phases = {
      catch: scorePhase(side, 'catch', context),
      pull: scorePhase(side, 'pull', context),
      push: scorePhase(side, 'push', context),
    };
    return {
      catch: publishScore(phases.catch, ruleSet),
      pull: publishScore(phases.pull, ruleSet),
      push: publishScore(phases.push, ruleSet),
      arm: publishScore(wholeArm(phases, ruleSet), ruleSet),
    };
  };
  const left = arm('left');
  const right = arm('right');
  return { left, right, difference: differenceOf(left.arm, right.arm, ruleSet) };
}
