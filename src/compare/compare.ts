/** What changed between the first and the last film, what of the focus to keep, and when to film again. Pure. */

import { probabilityOfNode } from '../assess/causes.ts';
import { labelOfCause, phrase, sideWords } from '../assess/phrases.ts';
import type { Because, Side } from '../contract/common.ts';
import type {
  Change,
  ComparisonAnswer,
  ComparisonRequest,
  FocusAdvice,
  Trend,
} from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { compareCauses, compareEfficiency } from './causes.ts';
import { conditionsOf } from './conditions.ts';
import { type Film, readFilm } from './film.ts';
import { compareFindings, eyeAgreesWith } from './findings.ts';
import { compareMeasurements, entriesOf, sampleOf } from './measurements.ts';

const WEEKS = 3;
const HONEST_TRY_SESSIONS = 6;
type Practised = NonNullable<ComparisonRequest['between']>[number];

function nodesOf(film: Film, cause: string, side: Side | 'both' | undefined): number[] {
  return film.study.weighed.network.nodes.flatMap((node, n) =>
    node.code === cause && (side === undefined || side === 'both' || node.side === side) ? [n] : [],
  );
}

function probabilityOf(film: Film, { cause, side }: Practised['focus'], ruleSet: RuleSet): number {
  return Math.max(
    ...nodesOf(film, cause, side).map((n) => probabilityOfNode(n, film.study.weighed, ruleSet)),
  );
}

interface Signs {
  readonly blocked: boolean;
  readonly moved: boolean;
  readonly gone: boolean;
  readonly sessions: number;
  readonly tries: number;
}

function judge({ blocked, moved, gone, sessions, tries }: Signs): [FocusAdvice['advice'], string] {
  if (blocked) return ['keep', 'not-comparable'];
  if (moved) return gone ? ['close', 'gone'] : ['keep', 'moving'];
  if (sessions < HONEST_TRY_SESSIONS) return ['keep', 'too-few-sessions'];
  return tries > 1 ? ['doubt-cause', 'two-tries'] : ['change-drill', 'one-try'];
}

/** Close what is gone, keep what moves, change the drill once, then doubt the cause and not the swimmer. */
function adviseFocus(
  practised: readonly Practised[],
  before: Film,
  after: Film,
  changes: readonly Change[],
  blocked: boolean,
  ruleSet: RuleSet,
): FocusAdvice[] {
  return practised.map((p): FocusAdvice => {
    const { cause, side } = p.focus;
    const own = new Set(
      [...before.answer.causes, ...after.answer.causes]
        .filter((c) => c.code === cause)
        .flatMap((c) => c.explains.map((e) => e.code)),
    );
    const signs = changes.filter((c) => c.kind === 'finding' && own.has(c.code));
    const moved = signs.some(
      (c) => c.direction === 'better' && (c.verdict === 'clear-change' || c.verdict === 'possible-change'),
    );
    const now = probabilityOf(after, p.focus, ruleSet);
    const gone = now < ruleSet.parts.constants.focus.candidateFrom;
    const tries = practised.filter((q) => q.focus.cause === cause).length;
    const [advice, reason] = judge({ blocked, moved, gone, sessions: p.sessions, tries });
    return {
      cause,
      label: labelOfCause(ruleSet, cause),
      side: side ?? (ruleSet.causes.get(cause)?.sided ? 'both' : 'body'),
      advice,
      because: { code: reason, text: phrase(ruleSet, `focus-${reason}`, { sessions: String(p.sessions) }) },
    };
  });
}

/** Technique and speed are told apart: neither is credited with the other's change. */
function honestMessages(changes: readonly Change[], ruleSet: RuleSet): Because[] {
  const changed = (c: Change): boolean =>
    c.direction === 'better' && (c.verdict === 'clear-change' || c.verdict === 'possible-change');
  const technique = changes.some((c) => c.kind === 'finding' && changed(c));
  const speed = changes.find((c) => c.kind === 'measurement' && c.code === 'swim-speed');
  if (speed === undefined || speed.verdict === 'not-comparable') return [];
  const faster = changed(speed);
  const code =
    technique && !faster ? 'form-before-speed' : !technique && faster ? 'speed-without-form' : null;
  return code === null ? [] : [{ code, text: phrase(ruleSet, `message-${code}`) }];
}

function trendsOf(films: readonly Film[], ruleSet: RuleSet): Trend[] {
  if (films.length < 3) return [];
  const keys = new Map(
    films.flatMap((f) => f.record.measurements.map((m) => [`${m.code}|${m.side}`, m] as const)),
  );
  const measured = [...keys.values()].map(
    ({ code, side }): Trend => ({
      kind: 'measurement',
      code,
      label: ruleSet.texts.measurements[code]?.label ?? code,
      side,
      values: films.map((f) => {
        const entries = entriesOf(f, code, side);
        return { at: f.at, value: entries.length === 0 ? null : sampleOf(entries).value };
      }),
    }),
  );
  const causes = new Map(
    films.flatMap((f) => f.answer.causes.map((c) => [`${c.code}|${c.side}`, c] as const)),
  );
  const believed = [...causes.values()].map(
    ({ code, side, label }): Trend => ({
      kind: 'cause',
      code,
      label,
      side,
      values: films.map((f) => ({ at: f.at, value: probabilityOf(f, { cause: code, side }, ruleSet) })),
    }),
  );
  return [...measured, ...believed].sort((a, b) =>
    `${a.kind}${a.code}${a.side}` < `${b.kind}${b.code}${b.side}` ? -1 : 1,
  );
}

function summaryOf(changes: readonly Change[], blocked: boolean, ruleSet: RuleSet): string {
  if (blocked) return phrase(ruleSet, 'comparison-blocked');
  const named = (verdict: Change['verdict']): string => {
    const items = changes.filter((c) => c.kind !== 'cause' && c.verdict === verdict);
    return items
      .slice(0, 3)
      .map((c) => `${c.label}${sideWords(ruleSet, c.side)}`)
      .join('; ');
  };
  const parts = (['clear-change', 'worse', 'possible-change'] as const).flatMap((v) => {
    const items = named(v);
    return items === '' ? [] : [phrase(ruleSet, `comparison-${v}`, { items })];
  });
  return parts.length === 0 ? phrase(ruleSet, 'comparison-nothing') : parts.join(' ');
}

const DAY_MS = 86_400_000;

/**
 * @param request records in time order, valid for this rule set.
 * @returns the changes, or the place of the first record whose health gate stops.
 */
export async function compare(
  request: ComparisonRequest,
  ruleSet: RuleSet,
): Promise<ComparisonAnswer | { readonly stopped: number }> {
  const read = await Promise.all(
    request.records.map((r) => readFilm(r.at, r.label ?? null, r.request, ruleSet)),
  );
  const stopped = read.findIndex((f) => 'stopped' in f);
  if (stopped >= 0) return { stopped };
  const films = read as Film[];
  const [before, after] = [films[0] as Film, films.at(-1) as Film];

  const conditions = conditionsOf(before, after, ruleSet);
  const blocked = conditions.some((c) => c.blocks);
  const findings = compareFindings(before, after, blocked, ruleSet);
  const measurements = compareMeasurements(
    before,
    after,
    blocked,
    eyeAgreesWith(before, after, ruleSet),
    ruleSet,
  );
  const changes = [
    ...findings,
    ...measurements,
    ...compareCauses(before, after, blocked, ruleSet),
    ...compareEfficiency(before, after, blocked, findings, ruleSet),
  ];
  const { name, version } = ruleSet.manifest;
  return {
    ruleSet: { name, version, digest: ruleSet.digest },
    from: { at: before.at, label: before.label },
    to: { at: after.at, label: after.label },
    summary: summaryOf(changes, blocked, ruleSet),
    conditions,
    changes,
    focus: adviseFocus(request.between ?? [], before, after, changes, blocked, ruleSet),
    trends: trendsOf(films, ruleSet),
    nextFilm: new Date(Date.parse(after.at) + (request.weeks ?? WEEKS) * 7 * DAY_MS)
      .toISOString()
      .slice(0, 10),
    messages: honestMessages(changes, ruleSet),
  };
}
