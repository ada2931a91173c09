/** The lines for one swimmer of a group: why here, which side, which cue, what to leave out, what to mind. */
import { bodyPartWords, labelOfCause, phrase, sideWords } from '../assess/phrases.ts';
import type { Caution, Focus } from '../contract/answer.ts';
import type { Because } from '../contract/common.ts';
import type { Note, Place, Swap } from '../contract/squad.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Fit } from './reading.ts';
import type { Hindrance } from './reasons.ts';
import { type GroupSession, helps, OWN_FOCUS } from './session.ts';

/** Reasons that a coach has to know of even where the session does not use the drill. */
const KEPT_REASONS = new Set(['caution', 'junior', 'deep-water', 'refused-by-coach']);

export function placeOf(fit: Fit, cause: string | null): Place {
  if (fit.focus.length === 0) return 'no-focus';
  const causes = [...new Set(fit.focus.map((f) => f.cause))];
  const at = cause === null ? -1 : causes.indexOf(cause);
  return at < 0 ? 'outside' : at === 0 ? 'first-focus' : 'second-focus';
}

const named = (ruleSet: RuleSet, f: Focus): string => `${f.label}${sideWords(ruleSet, f.side)}`;

function hindranceWords(
  hindrance: Hindrance,
  place: Place,
  [first = '']: readonly string[],
  ruleSet: RuleSet,
): string {
  if (hindrance.code !== 'no-lane')
    return phrase(ruleSet, `squad-why-${hindrance.code}`, {
      lane: String(hindrance.lane),
      label: labelOfCause(ruleSet, hindrance.cause),
    });
  const key = place === 'outside' ? 'squad-why-no-lane' : 'squad-why-no-lane-for-first';
  return phrase(ruleSet, key, { label: labelOfCause(ruleSet, first) });
}

/** @param hindrance what keeps the swimmer from the lane of an own focus that comes before; undefined: nothing does. */
export function becauseOf(
  fit: Fit,
  cause: string | null,
  missed: readonly string[],
  hindrance: Hindrance | undefined,
  ruleSet: RuleSet,
): Because {
  const place = placeOf(fit, cause);
  const why = hindrance === undefined ? '' : hindranceWords(hindrance, place, missed, ruleSet);
  const words = (key: string, values: { readonly [name: string]: string } = {}): Because => ({
    code: place,
    text: [phrase(ruleSet, key, values), why].filter((s) => s !== '').join(' '),
  });
  if (place === 'no-focus') {
    const [reason] = fit.insufficient;
    return reason === undefined
      ? words('squad-no-focus')
      : words('squad-no-focus-yet', { reason: ruleSet.texts.sufficiency[reason] ?? '' });
  }
  if (place === 'outside')
    return words('squad-outside', { own: fit.focus.map((f) => named(ruleSet, f)).join('; ') });
  const own = fit.focus.find((f) => f.cause === cause) as Focus;
  if (own.chosenBy === 'coach') return words(`squad-${place}-of-coach`, { label: named(ruleSet, own) });
  const percent = String(Math.round((own.probability ?? 0) * 100));
  return words(`squad-${place}`, { label: named(ruleSet, own), percent });
}

/** An own focus that the lane does not name, and the drills of the session that serve it all the same. */
function alsoText(f: Focus, group: GroupSession, ruleSet: RuleSet): string {
  const drills = group.drills.filter((d) => helps(d.code, f.cause, ruleSet)).map((d) => `"${d.name}"`);
  const key = drills.length === 0 ? 'squad-also' : 'squad-also-served';
  return phrase(ruleSet, key, { label: named(ruleSet, f), drills: drills.join(', ') });
}

/** The drill of this swimmer's session that gives him most, by what it takes of his own causes. */
function ownCue(fit: Fit, group: GroupSession, swaps: readonly Swap[], ruleSet: RuleSet): Note[] {
  const { effectShare } = ruleSet.parts.constants.drills;
  const cues = [
    ...group.drills
      .filter((d) => !swaps.some((s) => s.drill === d.code))
      .map((d) => ({ code: d.code, name: d.name, cue: d.cues[0] ?? '' })),
    ...swaps.flatMap(({ instead }) =>
      instead === null ? [] : [{ code: instead.drill, name: instead.name, cue: instead.cue }],
    ),
  ];
  const worth = (code: string): number =>
    fit.focus.reduce((sum, f, rank) => {
      const target = ruleSet.drills.get(code)?.targets.find((t) => t.cause === f.cause);
      return sum + (target === undefined ? 0 : (effectShare[target.effect] ?? 0)) / (rank + 1);
    }, 0);
  const [best] = [...cues].sort((a, b) => worth(b.code) - worth(a.code));
  if (best === undefined || best.cue === '') return [];
  return [
    { kind: 'cue', code: best.code, text: phrase(ruleSet, 'squad-cue', { cue: best.cue, drill: best.name }) },
  ];
}

function swapNote({ drill, name, because, instead }: Swap, ruleSet: RuleSet): Note {
  const values = {
    drill: name,
    because: because.text,
    instead: instead?.name ?? '',
    cue: instead?.cue ?? '',
  };
  const own = because.code === OWN_FOCUS ? 'squad-swap-own' : 'squad-swap';
  return {
    kind: 'drill',
    code: drill,
    text: phrase(ruleSet, instead === null ? 'squad-swim-easy' : own, values),
  };
}

/** @param cautions those of this swimmer in this session. */
export function notesOf(
  fit: Fit,
  cause: string | null,
  group: GroupSession,
  swaps: readonly Swap[],
  cautions: readonly Caution[],
  ruleSet: RuleSet,
): Note[] {
  const shared = fit.focus.filter((f) => f.cause === cause);
  const others = fit.focus.filter((f) => f.cause !== cause);
  const reason = fit.insufficient[0];
  return [
    ...fit.gate.aches.map(
      ({ bodyPart, side, because }): Note => ({
        kind: 'ache',
        code: because.code,
        text: `${bodyPartWords(ruleSet, bodyPart)}${sideWords(ruleSet, side)}: ${because.text}`,
      }),
    ),
    ...shared
      .filter((f) => f.side !== 'body')
      .map((f): Note => ({ kind: 'side', code: f.side, text: named(ruleSet, f) })),
    ...others.map(
      (f): Note => ({
        kind: 'focus',
        code: f.cause,
        text: alsoText(f, group, ruleSet),
      }),
    ),
    ...ownCue(fit, group, swaps, ruleSet),
    ...swaps.map((swap) => swapNote(swap, ruleSet)),
    ...cautions.map((k): Note => ({ kind: 'caution', code: k.code, text: k.because[0]?.text ?? k.label })),
    ...(reason === undefined
      ? []
      : [{ kind: 'record' as const, code: reason, text: ruleSet.texts.sufficiency[reason] ?? '' }]),
    ...(fit.record.coach.remarks === null
      ? []
      : [{ kind: 'coach' as const, code: 'remarks', text: fit.record.coach.remarks }]),
  ];
}

export function keptExclusions(fit: Fit): { code: string; reason: string; text: string }[] {
  return [...fit.excluded.values()]
    .filter((e) => KEPT_REASONS.has(e.reason))
    .map(({ code, reason, text }) => ({ code, reason, text }))
    .sort((a, b) => (a.code < b.code ? -1 : 1));
}
