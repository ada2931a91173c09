/** A record in which some facts have chosen values: what would exercise a rule that no case exercises. */
import type { AssessmentRequest } from '../../contract/request.ts';
import type { FactValue, Measured, PainReport, Seen } from '../../engine/facts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { baseOf } from '../reason/values.ts';

/** Chosen values by fact, sides included; undefined means that nobody looked. */
export type Assignment = ReadonlyMap<string, FactValue>;

interface Draft {
  swimmer: { [field: string]: unknown };
  health: { asked: boolean; signs: string[]; pain: object[]; conditions: string[]; [field: string]: unknown };
  recording: { views: string[]; flags: string[]; [field: string]: unknown };
  observations: object[];
  measurements: object[];
  coach: { focus: object[]; rejectDrills: object[] };
}

const sideOf = (fact: string): 'left' | 'right' | undefined =>
  fact.split('@')[1] as 'left' | 'right' | undefined;

function putSeen(code: string, fact: string, seen: Seen, ruleSet: RuleSet, draft: Draft): boolean {
  const known = ruleSet.observations.get(code);
  if (known === undefined) return false;
  const side = sideOf(fact);
  const entry = (severity: number) => ({
    code,
    ...(known.sided ? { side: side ?? 'both' } : {}),
    severity,
    certainty: 'sure',
    view: known.views[0],
  });
  // two observers who contradict each other leave it open
  draft.observations.push(...(seen.disputed ? [entry(2), entry(0)] : [entry(seen.severity)]));
  return true;
}

/** Context that stands in a field of its own; how the field holds the value of the fact. */
const FIELDS: { readonly [fact: string]: (draft: Draft, value: never) => void } = {
  level: (d, v: string) => {
    d.swimmer.level = v;
  },
  goal: (d, v: string) => {
    d.swimmer.goal = v;
  },
  age: (d, v: number) => {
    d.swimmer.age = v;
  },
  'weeks-to-race': (d, v: number) => {
    d.swimmer.weeksToRace = v;
  },
  'metres-per-week': (d, v: number) => {
    d.swimmer.metresPerWeek = v;
  },
  'distance-step': (d, v: number) =>
    void Object.assign(d.swimmer, { metresPerWeek: v * 1000, metresPerWeekBefore: 1000 }),
  'deep-water-competent': (d, v: boolean) => {
    d.swimmer.deepWaterCompetent = v;
  },
  equipment: (d, v: readonly string[]) => {
    d.swimmer.equipment = [...v];
  },
  pace: (d, v: string) => {
    d.recording.pace = v;
  },
  suit: (d, v: string) => {
    d.recording.suit = v;
  },
  pool: (d, v: string) => {
    d.recording.pool = v === 'open-water' ? null : { length: 25, unit: v === 'yards' ? 'yd' : 'm' };
  },
  views: (d, v: readonly string[]) => {
    d.recording.views = [...v];
  },
  'health-asked': (d, v: boolean) => {
    d.health.asked = v;
  },
  'clinician-agrees': (d, v: boolean) => {
    d.health.clinicianAgrees = v;
  },
  'minor-consent-on-file': (d, v: boolean) => {
    d.health.minorConsentOnFile = v;
  },
  'pregnancy-week': (d, v: number) => {
    d.health.pregnancyWeek = v;
  },
};

function put(fact: string, value: FactValue, ruleSet: RuleSet, draft: Draft): boolean {
  const base = baseOf(fact);
  if (value === undefined) return base !== 'level';
  const [family = '', code = ''] = base.includes(':') ? base.split(':') : ['', base];
  const field = Object.hasOwn(FIELDS, base) ? FIELDS[base] : undefined;
  if (field !== undefined) {
    field(draft, value as never);
    return true;
  }
  const side = sideOf(fact);
  switch (family) {
    case '':
      if (ruleSet.flags.has(code)) {
        if (value === true) draft.recording.flags.push(code);
        return true;
      }
      if (ruleSet.measurements.has(code)) {
        const sided = ruleSet.measurements.get(code)?.sided === true && side !== undefined;
        draft.measurements.push({
          code,
          ...(sided ? { side } : {}),
          value: (value as Measured).value,
          certainty: 'sure',
        });
        return true;
      }
      return putSeen(code, fact, value as Seen, ruleSet, draft);
    case 'finding':
      return putSeen(code, fact, value as Seen, ruleSet, draft);
    case 'sign':
      if (value === true) draft.health.signs.push(code);
      return true;
    case 'condition':
      if (value === true) draft.health.conditions.push(code);
      return true;
    case 'pain': {
      const { score, features } = value as PainReport;
      draft.health.pain.push({
        site: code,
        ...(side === undefined ? {} : { side }),
        score,
        features: [...features],
      });
      return true;
    }
    case 'refused-drill':
      draft.coach.rejectDrills.push({ code, because: 'to exercise a rule' });
      return true;
    case 'focus':
      draft.coach.focus.push({ cause: code, ...(side === undefined ? {} : { side }) });
      return draft.coach.focus.length <= 2;
    default:
      // what earlier rules conclude cannot be written into a record
      return false;
  }
}

/** @returns a record with these facts; undefined where a fact is concluded and cannot be written down. */
export function recordOf(assignment: Assignment, ruleSet: RuleSet): AssessmentRequest | undefined {
  const draft: Draft = {
    swimmer: { level: 'intermediate' },
    health: { asked: true, signs: [], pain: [], conditions: [] },
    recording: { views: ['side-under', 'front-under'], flags: [] },
    observations: [],
    measurements: [],
    coach: { focus: [], rejectDrills: [] },
  };
  for (const [fact, value] of assignment) if (!put(fact, value, ruleSet, draft)) return undefined;
  const { coach, ...record } = draft;
  const chosen = {
    ...(coach.focus.length === 0 ? {} : { focus: coach.focus }),
    ...(coach.rejectDrills.length === 0 ? {} : { rejectDrills: coach.rejectDrills }),
  };
  return {
    ...record,
    ...(Object.keys(chosen).length === 0 ? {} : { coach: chosen }),
  } as unknown as AssessmentRequest;
}
