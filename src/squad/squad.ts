/**
 * A squad: every record is read, pain and stop cases are taken out, the others are grouped (see points.ts for what is
 * maximised), and each group gets one session with notes for each of its members.
 */
import { raiseCautions } from '../assess/cautions.ts';
import { labelOfCause, phrase } from '../assess/phrases.ts';
import { runFlow } from '../assess/pipeline.ts';
import { decisionIdOf, ENGINE_VERSION } from '../assess/record.ts';
import type { Caution } from '../contract/answer.ts';
import type {
  Apart,
  Group,
  GroupFocus,
  GroupMember,
  SquadAnswer,
  SquadCaution,
  SquadRequest,
} from '../contract/squad.ts';
import { digestOf } from '../knowledge/digest.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type FormedGroup, formGroups, type Grouping } from './grouping.ts';
import { groupMessages, squadMessages } from './messages.ts';
import { becauseOf, keptExclusions, notesOf, placeOf } from './notes.ts';
import { sumPoints } from './points.ts';
import { type Fit, type Out, type Reading, readMember } from './reading.ts';
import { hindranceOf, missedBy } from './reasons.ts';
import { type GroupSession, groupRecord, groupSession, poolOf, swapsOf } from './session.ts';
import { swimmerOf } from './swimmer.ts';

interface Cautioned {
  readonly ref: string;
  readonly cautions: readonly Caution[];
}

function echo({
  requestId,
  metadata,
}: {
  requestId?: string | undefined;
  metadata?: { [key: string]: string } | undefined;
}) {
  return {
    ...(requestId === undefined ? {} : { requestId }),
    ...(metadata === undefined ? {} : { metadata }),
  };
}

function focusOf(cause: string | null, members: readonly Fit[], ruleSet: RuleSet): GroupFocus | null {
  if (cause === null) return null;
  const sides = new Set(members.flatMap((m) => m.focus.filter((f) => f.cause === cause).map((f) => f.side)));
  const [side] = sides;
  const places = members.map((m) => placeOf(m, cause));
  const count = (place: string): string => String(places.filter((p) => p === place).length);
  return {
    cause,
    label: labelOfCause(ruleSet, cause),
    side: sides.size === 1 && side !== undefined ? side : 'both',
    costs: ruleSet.texts.causes[cause]?.costs ?? '',
    because: {
      code: 'shared-focus',
      text: phrase(ruleSet, 'squad-shared-focus', {
        first: count('first-focus'),
        second: count('second-focus'),
        count: String(members.length),
      }),
    },
  };
}

async function memberOf(
  i: number,
  group: FormedGroup,
  session: GroupSession,
  fits: readonly Fit[],
  grouping: Grouping,
  setting: { readonly record: Fit['record']; readonly ruleSet: RuleSet },
): Promise<{ member: GroupMember; cautioned: Cautioned }> {
  const { record, ruleSet } = setting;
  const fit = fits[i] as Fit;
  const { cause } = group;
  const swaps = swapsOf(fit, cause, session, record, ruleSet);
  const done = session.drills.filter((d) => !swaps.some((s) => s.drill === d.code));
  const instead = swaps.flatMap((s) => ruleSet.drills.get(s.instead?.drill ?? '') ?? []);
  const cautions = await runFlow(raiseCautions(fit.slots, fit.gate, [...done, ...instead], ruleSet));
  const missed = missedBy(grouping.field.swimmers[i] as (typeof grouping.field.swimmers)[number], cause);
  const hindrance = missed.length === 0 ? undefined : hindranceOf(i, group, missed, grouping);
  return {
    member: {
      ref: fit.ref,
      ...echo(fit.request),
      level: fit.record.swimmer.level,
      place: placeOf(fit, cause),
      because: becauseOf(fit, cause, missed, hindrance, ruleSet),
      notes: notesOf(fit, cause, session, swaps, cautions, ruleSet),
      swaps,
      excludedDrills: keptExclusions(fit),
    },
    cautioned: { ref: fit.ref, cautions },
  };
}

function apartOf(out: Out): Apart {
  const { ref, request, status, because, restrictions, drills, session } = out;
  return {
    ref,
    ...echo(request),
    status,
    because,
    restrictions: [...restrictions],
    drills: [...drills],
    session,
  };
}

/** Each caution once, in the order in which they weigh, with the swimmers it is about. */
function mergeCautions(all: readonly Cautioned[]): SquadCaution[] {
  const order = ['stop-now', 'refer', 'never', 'condition', 'modify'];
  const merged = new Map<string, SquadCaution>();
  for (const { ref, cautions } of all) {
    for (const { because: _, ...caution } of cautions) {
      const known = merged.get(caution.code) ?? { ...caution, members: [] };
      known.members.push(ref);
      merged.set(caution.code, known);
    }
  }
  return [...merged.values()]
    .map((c) => ({ ...c, members: c.members.sort() }))
    .sort((a, b) => order.indexOf(a.class) - order.indexOf(b.class) || (a.code < b.code ? -1 : 1));
}

function decisionId(request: SquadRequest, readings: readonly Reading[], ruleSet: RuleSet): string {
  const { lanes, minutes, equipment, pool, options } = request;
  const squad = {
    lanes,
    minutes,
    equipment: equipment === undefined ? null : [...equipment].sort(),
    pool,
    options,
  };
  const members = readings.map((r) => decisionIdOf(r.record, ruleSet));
  return digestOf({ squad, members, ruleSet: ruleSet.digest, engine: ENGINE_VERSION });
}

function summaryOf(groups: readonly Group[], apart: readonly Apart[], ruleSet: RuleSet): string {
  const members = groups.flatMap((g) => g.members);
  const count = (place: string): string => String(members.filter((m) => m.place === place).length);
  const key = groups.length === 0 ? 'squad-summary-nobody' : 'squad-summary';
  return phrase(ruleSet, key, {
    count: String(members.length),
    lanes: String(groups.length),
    apart: String(apart.length),
    first: count('first-focus'),
    second: count('second-focus'),
    outside: count('outside'),
    none: count('no-focus'),
  });
}

/**
 * Puts readings together into the answer.
 *
 * @param readings of all members, in any order.
 */
export async function formSquad(
  request: SquadRequest,
  readings: readonly Reading[],
  ruleSet: RuleSet,
): Promise<SquadAnswer> {
  const sorted = [...readings].sort((a, b) => (a.ref < b.ref ? -1 : 1));
  const fits = sorted.filter((r) => r.kind === 'fit');
  const outs = sorted.filter((r) => r.kind === 'out');
  const weights = ruleSet.parts.constants.squad;
  const grouping = formGroups(
    fits.map((fit) => swimmerOf(fit, weights)),
    request.lanes,
    request.options?.groupSize ?? {},
    weights,
  );
  const pool = poolOf(request, fits);
  const cautioned: Cautioned[] = outs.map(({ ref, cautions }) => ({ ref, cautions }));
  const groups: Group[] = [];
  for (const [at, group] of grouping.groups.entries()) {
    const members = group.members.map((i) => fits[i] as Fit);
    const record = groupRecord(members, request, pool, ruleSet);
    const session = groupSession(group.cause, members, record, ruleSet);
    const told = await Promise.all(
      group.members.map((i) => memberOf(i, group, session, fits, grouping, { record, ruleSet })),
    );
    cautioned.push(...told.map((t) => t.cautioned));
    groups.push({
      lane: at + 1,
      level: session.level,
      focus: focusOf(group.cause, members, ruleSet),
      second: focusOf(session.second, members, ruleSet),
      members: told.map((t) => t.member),
      drills: [...session.drills],
      session: session.session,
      points: group.points,
      messages: groupMessages(members, session, ruleSet),
    });
  }
  const apart = outs.map(apartOf);
  const { name, version } = ruleSet.manifest;
  const { min, max, even } = grouping.sizes;
  return {
    decisionId: decisionId(request, sorted, ruleSet),
    ...echo(request),
    ruleSet: { name, version, digest: ruleSet.digest },
    summary: summaryOf(groups, apart, ruleSet),
    minutes: request.minutes,
    lanes: request.lanes,
    groups,
    apart,
    cautions: mergeCautions(cautioned),
    grouping: {
      method: grouping.method,
      groupSize: { min, max, even },
      levelBreaks: grouping.levelBreaks,
      points: sumPoints(grouping.groups.map((g) => g.points)),
    },
    messages: squadMessages(request, sorted, grouping, pool, ruleSet),
  };
}

/** Reads and groups a squad in one go. @param request must be valid for this rule set; references are distinct. */
export async function squad(request: SquadRequest, ruleSet: RuleSet): Promise<SquadAnswer> {
  const readings: Reading[] = [];
  for (const member of request.members) readings.push(await readMember(member, request, ruleSet));
  return formSquad(request, readings, ruleSet);
}
