/**
 * The canonical record: the request with its rule set resolved, defaults written in, `both` written out for each
 * side and every list sorted, so that order and shorthand cannot change an answer or its id.
 */
import type { Arm, Certainty, Side, View } from '../contract/common.ts';
import type { AssessmentRequest } from '../contract/request.ts';
import { digestOf } from '../knowledge/digest.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Measured } from '../measure/measure.ts';
import { measureOnce } from '../measure/once.ts';

/** Raised when the meaning of an answer changes while the rules stay the same. */
export const ENGINE_VERSION = '2';

export const DEFAULTS = {
  certainty: 'likely',
  explain: 'lines',
  drills: 4,
  sessionMinutes: 45,
  nextLooks: 3,
} as const;

type Sighting = NonNullable<AssessmentRequest['observations']>[number];
type Reading = NonNullable<AssessmentRequest['measurements']>[number];

/** One look at one thing on one side. */
export interface SeenEntry extends Omit<Sighting, 'side' | 'certainty' | 'note' | 'severity'> {
  readonly side: Side;
  readonly severity: 0 | 1 | 2 | 3;
  readonly certainty: Certainty;
  readonly view?: View;
}

export interface MeasuredEntry extends Omit<Reading, 'side' | 'certainty'> {
  readonly side: Side;
  readonly certainty: Certainty;
  readonly view?: View;
}

export interface PainEntry {
  readonly site: string;
  readonly side: Arm | 'both';
  readonly score: number;
  readonly features: readonly string[];
}

export interface CauseChoice {
  readonly cause: string;
  readonly side: Side | 'both';
}

export interface Record {
  readonly ruleSet: string;
  readonly swimmer: AssessmentRequest['swimmer'];
  readonly health:
    | (Omit<NonNullable<AssessmentRequest['health']>, 'pain'> & { readonly pain: readonly PainEntry[] })
    | null;
  readonly recording: NonNullable<AssessmentRequest['recording']>;
  readonly observations: readonly SeenEntry[];
  readonly measurements: readonly MeasuredEntry[];
  readonly coach: {
    readonly focus: readonly CauseChoice[] | null;
    readonly rejectCauses: readonly (CauseChoice & { readonly because: string })[];
    readonly rejectDrills: readonly { readonly code: string; readonly because: string }[];
    readonly remarks: string | null;
  };
  readonly options: {
    readonly explain: 'lines' | 'full';
    readonly drills: number;
    readonly sessionMinutes: number;
    readonly nextLooks: number;
  };
  /** True when some entry did not say how sure its observer was. */
  readonly certaintyDefaulted: boolean;
  /** What the raw data came out as; null where none were sent. */
  readonly measured: Measured | null;
}

/** A copy whose keys are in order: equal values are then equal texts. */
function inKeyOrder(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return value;
  if (Array.isArray(value)) return value.map(inKeyOrder);
  const copy: { [key: string]: unknown } = {};
  for (const key of Object.keys(value).sort()) copy[key] = inKeyOrder((value as typeof copy)[key]);
  return copy;
}

/** Sorted by all fields: equal records have equal lists whatever order they were typed in. */
function sorted<T>(list: readonly T[]): T[] {
  return list
    .map((item) => [JSON.stringify(inKeyOrder(item)), item] as const)
    .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
    .map(([, item]) => item);
}

function choice<T extends { cause: string; side?: Side | 'both' | undefined }>(
  given: T,
  ruleSet: RuleSet,
): T & CauseChoice {
  return { ...given, side: given.side ?? (ruleSet.causes.get(given.cause)?.sided ? 'both' : 'body') };
}

function healthOf({ health }: AssessmentRequest): Record['health'] {
  if (health === undefined) return null;
  return {
    ...health,
    ...(health.signs === undefined ? {} : { signs: sorted(health.signs) }),
    ...(health.conditions === undefined ? {} : { conditions: sorted(health.conditions) }),
    pain: sorted(
      (health.pain ?? []).map((p) => ({
        ...p,
        side: p.side ?? ('both' as const),
        features: sorted(p.features ?? []),
      })),
    ),
  };
}

/** Observations that the health questions answer, with the sites that they speak of. */
export const PAIN_OBSERVATIONS = [
  { code: 'shoulder-pain-report', sites: ['shoulder'] },
  { code: 'neck-or-back-complaint', sites: ['neck', 'back'] },
] as const;

/** A score alone is slight up to 3 of 10 and moderate above; "marked" is for the warning signs, which the gate reads itself. */
function painSeverity(score: number): SeenEntry['severity'] {
  return score === 0 ? 0 : score <= 3 ? 1 : 2;
}

/**
 * Pain counts the same wherever it is written down: what the health questions say becomes a report like the observation
 * of the same name.
 */
function painFromHealth(
  health: Record['health'],
  observed: readonly SeenEntry[],
  measured: readonly MeasuredEntry[],
  ruleSet: RuleSet,
): SeenEntry[] {
  if (health === null) return [];
  return PAIN_OBSERVATIONS.flatMap(({ code, sites }) => {
    const known = ruleSet.observations.get(code);
    if (known === undefined) return [];
    const sides: Side[] = known.sided ? ['left', 'right'] : ['body'];
    return sides.flatMap((side): SeenEntry[] => {
      const reports = health.pain.filter(
        (p) =>
          (sites as readonly string[]).includes(p.site) &&
          (side === 'body' || p.side === side || p.side === 'both'),
      );
      // "asked, and no pain" adds nothing to what is written down; a pain always does, and a contradiction then shows
      const scored = measured.some((m) => m.code === 'pain' && (m.side === side || m.side === 'body'));
      const written =
        observed.some((o) => o.code === code && o.side === side) || (scored && sites[0] === 'shoulder');
      if (reports.length === 0 && (written || !health.asked)) return [];
      const severity = painSeverity(Math.max(0, ...reports.map((p) => p.score)));
      return [{ code, side, severity, certainty: 'sure', view: 'self-report' }];
    });
  });
}

/** @param request must be valid for this rule set: codes known, sides possible. */
export function toRecord(request: AssessmentRequest, ruleSet: RuleSet): Record {
  const fallback = request.recording?.defaults?.certainty;
  const certainty = (given: Certainty | undefined): Certainty => given ?? fallback ?? DEFAULTS.certainty;
  // raw data count as the measurements that come out of them: the record is the one that holds those
  const raw = request.raw === undefined ? null : measureOnce(request.raw, ruleSet);
  const readings: Reading[] = [...(request.measurements ?? []), ...(raw?.measurements ?? [])];
  const entries = [...(request.observations ?? []), ...readings];

  const observations = (request.observations ?? []).flatMap(({ note: _, ...o }): SeenEntry[] => {
    const sides: Side[] = o.side === 'both' ? ['left', 'right'] : [o.side ?? 'body'];
    return sides.map((side) => ({ ...o, side, certainty: certainty(o.certainty) }) as SeenEntry);
  });
  const measurements = readings.map(
    (m) => ({ ...m, side: m.side ?? 'body', certainty: certainty(m.certainty) }) as MeasuredEntry,
  );
  const health = healthOf(request);
  const { recording, coach, options } = request;
  return {
    ruleSet: `${ruleSet.manifest.name}@${ruleSet.manifest.version}`,
    swimmer: {
      ...request.swimmer,
      ...(request.swimmer.equipment === undefined ? {} : { equipment: sorted(request.swimmer.equipment) }),
    },
    health,
    recording: {
      ...recording,
      ...(recording?.views === undefined ? {} : { views: sorted(recording.views) }),
      ...(recording?.clips === undefined ? {} : { clips: sorted(recording.clips) }),
      ...(recording?.flags === undefined ? {} : { flags: sorted(recording.flags) }),
    },
    observations: sorted([...observations, ...painFromHealth(health, observations, measurements, ruleSet)]),
    measurements: sorted(measurements),
    coach: {
      // the first focus is the first thing to work on: this order carries meaning and is kept
      focus: coach?.focus === undefined ? null : coach.focus.map((c) => choice(c, ruleSet)),
      rejectCauses: sorted((coach?.rejectCauses ?? []).map((c) => choice(c, ruleSet))),
      rejectDrills: sorted(coach?.rejectDrills ?? []),
      remarks: coach?.remarks ?? null,
    },
    options: {
      explain: options?.explain ?? DEFAULTS.explain,
      drills: options?.drills ?? DEFAULTS.drills,
      sessionMinutes: options?.sessionMinutes ?? DEFAULTS.sessionMinutes,
      nextLooks: options?.nextLooks ?? DEFAULTS.nextLooks,
    },
    certaintyDefaulted: fallback === undefined && entries.some((e) => e.certainty === undefined),
    measured: raw,
  };
}

/**
 * The same question about the same rules has the same id, on any machine and at any time.
 *
 * @param more what is asked besides an assessment.
 */
export function decisionIdOf(
  record: Record,
  ruleSet: RuleSet,
  more: { readonly [name: string]: unknown } = {},
): string {
  const { certaintyDefaulted: _, measured: __, ...request } = record;
  return digestOf({ ...more, request, ruleSet: ruleSet.digest, engine: ENGINE_VERSION });
}
