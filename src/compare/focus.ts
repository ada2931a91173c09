/**
 * What to do with each focus that was practised: close what is gone, keep what moves, change the drill once, then doubt
 * the cause and not the swimmer. Pain comes before all of it.
 */
import { labelOfCause, phrase } from '../assess/phrases.ts';
import type { NextLook } from '../contract/answer.ts';
import type { Side } from '../contract/common.ts';
import type { Change, ComparisonRequest, FocusAdvice } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { evidenceOf, nodesOf, probabilityIn } from './beliefs.ts';
import { changesBehind } from './causes.ts';
import { blockOf, type FilmPair } from './film-pair.ts';
import { gotBetter } from './verdict.ts';

type Practised = NonNullable<ComparisonRequest['between']>[number];

/** All tries of one focus. */
interface Effort {
  readonly cause: string;
  readonly side: Side | 'both';
  readonly drills: readonly string[];
  readonly sessions: number;
  readonly tries: number;
}

/** An honest try has enough sessions; several short ones that add up to that are one. */
function effortsOf(practised: readonly Practised[], ruleSet: RuleSet): Effort[] {
  const { honestTrySessions } = ruleSet.parts.constants.change;
  const groups = new Map<string, Practised[]>();
  const sideOf = ({ focus }: Practised): Side | 'both' =>
    focus.side ?? (ruleSet.causes.get(focus.cause)?.sided ? 'both' : 'body');
  for (const p of practised) {
    const key = `${p.focus.cause} ${sideOf(p)}`;
    groups.set(key, [...(groups.get(key) ?? []), p]);
  }
  const sorted = [...groups].sort(([a], [b]) => (a < b ? -1 : 1));
  return sorted.map(([, list]) => {
    const [first] = list as [Practised];
    const sessions = list.reduce((sum, p) => sum + p.sessions, 0);
    const honest = list.filter((p) => p.sessions >= honestTrySessions).length;
    return {
      cause: first.focus.cause,
      side: sideOf(first),
      drills: list.flatMap((p) => p.drills ?? []),
      sessions,
      tries: Math.max(honest, sessions >= honestTrySessions ? 1 : 0),
    };
  });
}

/** The arm that the focus works on is one that a clinician should see first. */
function painFirst({ cause, side }: Effort, { after, ruleSet }: FilmPair): boolean {
  const sided = ruleSet.causes.get(cause)?.sided ?? false;
  return after.answer.restrictions.some(
    (r) =>
      r.bodyPart === 'whole-body' ||
      (r.bodyPart === 'shoulder' && sided && (side === 'both' || r.side === side)),
  );
}

interface Judgement {
  readonly advice: FocusAdvice['advice'];
  readonly change: FocusAdvice['change'];
  readonly why: string;
}

function judge(effort: Effort, observed: readonly Change[], films: FilmPair): Judgement {
  const { after, ruleSet } = films;
  const keep = (why: string, change: FocusAdvice['change'] = 'nothing'): Judgement => ({
    advice: 'keep',
    change,
    why,
  });
  if (painFirst(effort, films)) return { advice: 'exchange', change: 'cause', why: 'pain-first' };
  const nodes = nodesOf(after, effort.cause, effort.side);
  const signs = changesBehind(
    nodes.flatMap((n) => evidenceOf(after, n)),
    observed,
    films,
  ).filter((c) => c.verdict !== 'not-comparable');
  if (signs.length === 0) return keep(blockOf(films, 'pace') === null ? 'not-looked-at' : 'not-comparable');
  const better = signs.filter(gotBetter);
  const worse = signs.some((c) => c.direction === 'worse');
  if (better.length > 0 && worse) return keep('mixed');
  if (better.length > 0) {
    const left = Math.max(...nodes.map((n) => probabilityIn(after, n, ruleSet)));
    const gone = left < ruleSet.parts.constants.focus.candidateFrom;
    const clear = better.some((c) => c.verdict === 'clear-change');
    return gone && clear ? { advice: 'close', change: 'nothing', why: 'gone' } : keep('moving');
  }
  if (worse) return keep('worse', 'drill');
  if (effort.tries === 0) return keep('too-few-sessions');
  return effort.tries === 1
    ? keep('one-try', 'drill')
    : { advice: 'exchange', change: 'cause', why: 'two-tries' };
}

function otherDrills({ cause, drills }: Effort, { after }: FilmPair): FocusAdvice['drills'] {
  return after.answer.drills
    .filter((d) => d.for.some((f) => f.cause === cause) && !drills.includes(d.code))
    .map(({ code, name }) => ({ code, name }));
}

function insteadOf(causes: readonly string[], { after }: FilmPair): FocusAdvice['instead'] {
  const next = after.answer.focus.find((f) => !causes.includes(f.cause));
  return next === undefined ? null : { cause: next.cause, label: next.label, side: next.side };
}

/**
 * @param looks the looks that would settle most about the last record.
 * @returns one piece of advice for each focus that was practised, sorted by cause and side.
 */
export function adviseFocus(
  practised: readonly Practised[],
  observed: readonly Change[],
  looks: readonly NextLook[],
  films: FilmPair,
): FocusAdvice[] {
  const { ruleSet } = films;
  const efforts = effortsOf(practised, ruleSet);
  return efforts.map((effort): FocusAdvice => {
    const { cause, side, sessions, tries } = effort;
    const { advice, change, why } = judge(effort, observed, films);
    const telling = looks.filter((l) => l.now.some((belief) => belief.cause === cause));
    return {
      cause,
      label: labelOfCause(ruleSet, cause),
      side,
      advice,
      change,
      sessions,
      tries,
      because: { code: why, text: phrase(ruleSet, `focus-${why}`, { sessions: String(sessions) }) },
      drills: change === 'drill' ? otherDrills(effort, films) : [],
      looks:
        why === 'two-tries'
          ? telling.map(({ code, label, side: of, view }) => ({ code, label, side: of, view }))
          : [],
      instead:
        advice === 'keep'
          ? null
          : insteadOf(
              efforts.map((e) => e.cause),
              films,
            ),
    };
  });
}
