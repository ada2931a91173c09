/** What a squad needs to know of each swimmer: the record read up to the focus, then only what grouping and notes use. */
import type { Listed } from '../assess/causes.ts';
import { gateCautions, raiseCautions } from '../assess/cautions.ts';
import { chooseDrills, excludeDrills } from '../assess/drills.ts';
import type { Findings } from '../assess/findings.ts';
import type { Gate } from '../assess/health-gate.ts';
import { phrase } from '../assess/phrases.ts';
import { type Flow, runFlow } from '../assess/pipeline.ts';
import { type Record, toRecord } from '../assess/record.ts';
import { maxDrillsOf, planSession } from '../assess/session.ts';
import { type Concluded, type Stopped, study } from '../assess/study.ts';
import type { Caution, Drill, ExcludedDrill, Focus, Restriction, Session } from '../contract/answer.ts';
import type { SquadMember, SquadRequest } from '../contract/squad.ts';
import type { Slots } from '../engine/facts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

interface Head {
  readonly ref: string;
  readonly request: SquadMember;
  readonly record: Record;
}

/** A swimmer who can join a group. */
export interface Fit extends Head {
  readonly kind: 'fit';
  readonly gate: Gate;
  readonly slots: Slots;
  readonly findings: Findings;
  readonly causes: readonly Listed[];
  /** What to work on first, in order; at most two. */
  readonly focus: readonly Focus[];
  readonly maxDrills: number;
  readonly excluded: ReadonlyMap<string, ExcludedDrill>;
  /** Why the record cannot carry a conclusion; empty when it can. */
  readonly insufficient: readonly string[];
}

/** A swimmer whom the health gate takes out of the groups. */
export interface Out extends Head {
  readonly kind: 'out';
  readonly status: 'stop' | 'refer';
  readonly because: { readonly code: string; readonly text: string };
  readonly restrictions: readonly Restriction[];
  readonly cautions: readonly Caution[];
  readonly drills: readonly Drill[];
  readonly session: Session | null;
}

export type Reading = Fit | Out;
export type Setting = Pick<SquadRequest, 'minutes' | 'equipment' | 'pool'>;

/** The record as the squad swims it: the squad's own minutes, and its aids besides the swimmer's own. */
export function squadRecord(request: SquadMember, setting: Setting, ruleSet: RuleSet): Record {
  const { options: _, ...rest } = request;
  const own = request.swimmer.equipment;
  const equipment =
    setting.equipment === undefined ? own : [...new Set([...setting.equipment, ...(own ?? [])])];
  return toRecord(
    {
      ...rest,
      swimmer: { ...request.swimmer, ...(equipment === undefined ? {} : { equipment }) },
      options: { sessionMinutes: setting.minutes, nextLooks: 0 },
    },
    ruleSet,
  );
}

function stopped(head: Head, { gate }: Stopped, ruleSet: RuleSet): Out {
  const [first] = gate.cautions;
  return {
    ...head,
    kind: 'out',
    status: 'stop',
    because: first?.because ?? { code: 'stop', text: phrase(ruleSet, 'summary-stop') },
    restrictions: [],
    cautions: gateCautions(gate, ruleSet),
    drills: [],
    session: null,
  };
}

/** What is left for a swimmer whom a clinician should see first: alone, and only what loads nothing that hurts. */
function* referred(head: Head, c: Concluded, ruleSet: RuleSet): Flow<Out> {
  const { record } = head;
  const most = Math.min(c.plan.maxDrills, maxDrillsOf(record, ruleSet));
  const choice = yield* chooseDrills(
    c.slots,
    c.listed.causes,
    c.focus,
    most,
    c.gate,
    c.findings,
    record,
    ruleSet,
  );
  return {
    ...head,
    kind: 'out',
    status: 'refer',
    because: (c.gate.restrictions[0] as Restriction).because,
    restrictions: c.gate.restrictions,
    cautions: yield* raiseCautions(c.slots, c.gate, choice.drills, ruleSet),
    drills: choice.drills,
    session: planSession(choice, c.gate, record, ruleSet),
  };
}

function* read(head: Head, ruleSet: RuleSet): Flow<Reading> {
  const result = yield* study(head.record, ruleSet);
  if (result.status === 'stop') return stopped(head, result, ruleSet);
  if (result.status === 'refer') return yield* referred(head, result, ruleSet);
  const { gate, slots, findings, listed, focus, plan, insufficient } = result;
  return {
    ...head,
    kind: 'fit',
    gate,
    slots,
    findings,
    causes: listed.causes,
    focus,
    maxDrills: plan.maxDrills,
    excluded: yield* excludeDrills(slots, ruleSet),
    insufficient,
  };
}

/** Reads one member. The cost is that of an assessment without its next looks. */
export async function readMember(request: SquadMember, setting: Setting, ruleSet: RuleSet): Promise<Reading> {
  const record = squadRecord(request, setting, ruleSet);
  return runFlow(read({ ref: request.swimmer.ref, request, record }, ruleSet));
}
