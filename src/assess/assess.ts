/**
 * One assessment: pure. The same request and rule set give the same answer, whatever the order of the lists.
 */
import type {
  AssessmentAnswer,
  Cause,
  Finding,
  FullAnswer,
  Report,
  RuleState,
  StopAnswer,
  Strength,
} from '../contract/answer.ts';
import type { AssessmentRequest } from '../contract/request.ts';
import type { Slots } from '../engine/facts.ts';
import type { Stage } from '../engine/stage.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { tellCauses } from './cause-answers.ts';
import type { Listed } from './causes.ts';
import { gateCautions, raiseCautions } from './cautions.ts';
import { chooseDrills, type DrillChoice } from './drills.ts';
import { scoreArms } from './efficiency.ts';
import { keyOf } from './findings.ts';
import { messagesOf, stopMessages } from './messages.ts';
import { believed, predicted } from './network/propagate.ts';
import { conditionValues } from './network/trail.ts';
import { nextLooks } from './next-looks.ts';
import { labelOfFinding, phrase } from './phrases.ts';
import { type Flow, runFlow } from './pipeline.ts';
import { decisionIdOf, type Record, toRecord } from './record.ts';
import type { Report as WeighedReport } from './reports.ts';
import { maxDrillsOf, planSession } from './session.ts';
import { type Concluded, type Stopped, study } from './study.ts';
import { summaryOf } from './summary.ts';

function reportOf({ kind, source, db, limitedByView, measured }: WeighedReport): Report {
  return {
    kind,
    source,
    db,
    limitedByView,
    ...(measured === undefined ? {} : { ...measured, bands: [...measured.bands] }),
  };
}

/** Reports of one weight stand in an order of their own: that of the entries must not show. */
function weightiestFirst(a: Report, b: Report): number {
  const gap = Math.abs(b.db) - Math.abs(a.db);
  if (gap !== 0) return gap;
  const [x, y] = [JSON.stringify(a), JSON.stringify(b)];
  return x < y ? -1 : x > y ? 1 : 0;
}

function findingsOf(c: Concluded, ruleSet: RuleSet): Finding[] {
  const { network, beliefs, inputs } = c.weighed;
  return [...c.findings.values()].map((f) => {
    const child = network.childOf.get(keyOf(f.code, f.side)) as number;
    const belief = believed(predicted(network, beliefs, child, inputs.active), f.db);
    const present = f.db > 0 || (f.db === 0 && belief >= 0.5);
    return {
      code: f.code,
      label: labelOfFinding(ruleSet, f.code),
      side: f.side,
      severity: f.severity,
      status: present ? 'present' : 'absent',
      belief,
      reportDb: f.db,
      from: [...new Set(f.reports.map((r) => r.kind))].sort(),
      reports: f.reports.map(reportOf).sort(weightiestFirst),
      conflict: f.conflict,
    };
  });
}

/** Good signs are no findings of the network, but they are what should be kept. */
function strengthsOf(record: Record, ruleSet: RuleSet): Strength[] {
  const best = new Map<string, Strength>();
  for (const o of record.observations) {
    if (o.severity === 0 || ruleSet.observations.get(o.code)?.polarity !== 'good') continue;
    const key = keyOf(o.code, o.side);
    if ((best.get(key)?.severity ?? 0) >= o.severity) continue;
    best.set(key, {
      code: o.code,
      label: labelOfFinding(ruleSet, o.code),
      side: o.side,
      severity: o.severity,
    });
  }
  return [...best].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, strength]) => strength);
}

function measuredOf({ measured }: Record): Pick<FullAnswer, 'measured'> {
  if (measured === null) return {};
  const { measurements, series, worth } = measured;
  return { measured: { measurements, series, worth } };
}

function ruleStates(slots: Slots, ruleSet: RuleSet, full: boolean): RuleState[] {
  if (!full) return [];
  const stages = Object.values(ruleSet.stages) as Stage<unknown>[];
  return stages.flatMap((stage) =>
    stage.truths(slots).map(({ rule, truth, leaves }) => ({
      id: rule.id,
      stage: stage.name,
      side: rule.side,
      state: truth === undefined ? ('unknown' as const) : truth ? ('fired' as const) : ('not-fired' as const),
      conditions: conditionValues({ leaves: leaves() }),
    })),
  );
}

type Head = Pick<AssessmentAnswer, 'decisionId' | 'requestId' | 'metadata' | 'ruleSet'>;

/** What an answer to a request begins with. */
export function headOf(request: AssessmentRequest, decisionId: string, ruleSet: RuleSet): Head {
  const { name, version } = ruleSet.manifest;
  return {
    decisionId,
    ...(request.requestId === undefined ? {} : { requestId: request.requestId }),
    ...(request.metadata === undefined ? {} : { metadata: request.metadata }),
    ruleSet: { name, version, digest: ruleSet.digest },
  };
}

/** An answer, and what it was made from for those who go on from there. */
export type Considered =
  | { readonly answer: StopAnswer; readonly study: Stopped }
  | { readonly answer: FullAnswer; readonly study: Concluded; readonly choice: DrillChoice };

/** All stages over one record. */
export function* consider(record: Record, head: Head, ruleSet: RuleSet): Flow<Considered> {
  const result = yield* study(record, ruleSet);
  if (result.status === 'stop') {
    return {
      answer: {
        status: 'stop',
        summary: phrase(ruleSet, 'summary-stop'),
        ...head,
        cautions: gateCautions(result.gate, ruleSet),
        messages: stopMessages(record, ruleSet),
      },
      study: result,
    };
  }
  const c = result;
  const { causes, mechanisms } = c.listed;
  const told = (list: readonly Listed[]): Cause[] =>
    tellCauses(list, c.listed, c.weighed, c.evidence, record, ruleSet);
  const efficiency = yield* scoreArms(c.slots, c.findings, c.weighed, c.gate, record, c.flags, ruleSet);
  const most = Math.min(c.plan.maxDrills, maxDrillsOf(record, ruleSet));
  const choice = yield* chooseDrills(c.slots, causes, c.focus, most, c.gate, c.findings, record, ruleSet);
  const session = planSession(choice, c.gate, record, ruleSet);
  const looks = nextLooks(c, record, ruleSet);
  const cautions = yield* raiseCautions(c.slots, c.gate, choice.drills, ruleSet);
  const answer: FullAnswer = {
    status: c.status,
    summary: summaryOf(c, looks, ruleSet),
    ...head,
    restrictions: [...c.gate.restrictions],
    findings: findingsOf(c, ruleSet),
    strengths: strengthsOf(record, ruleSet),
    causes: told(causes),
    mechanisms: told(mechanisms),
    efficiency,
    focus: [...c.focus],
    drills: [...choice.drills],
    excludedDrills: [...choice.excluded],
    session,
    nextLooks: looks,
    cautions,
    messages: messagesOf(c, choice.drills, record, ruleSet),
    ...measuredOf(record),
    trail: {
      rules: ruleStates(c.slots, ruleSet, record.options.explain === 'full'),
      method: c.weighed.beliefs.method,
      sweeps: c.weighed.beliefs.sweeps,
    },
  };
  return { answer, study: c, choice };
}

/** The flow of one assessment, for whoever runs it and wants to see inside. */
export function* examine(request: AssessmentRequest, ruleSet: RuleSet): Flow<Considered> {
  const record = toRecord(request, ruleSet);
  const head = headOf(request, decisionIdOf(record, ruleSet), ruleSet);
  return yield* consider(record, head, ruleSet);
}

/**
 * Assesses one record.
 *
 * @param request must be valid for this rule set (see src/contract and src/server/vocabulary.ts).
 * @returns the answer of design section "The contract"; shares and probabilities 0-1, weights in dB.
 */
export async function assess(request: AssessmentRequest, ruleSet: RuleSet): Promise<AssessmentAnswer> {
  return (await runFlow(examine(request, ruleSet))).answer;
}
