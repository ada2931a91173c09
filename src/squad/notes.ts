/** The lines for one swimmer of a group: why here, which side, which cue, what to leave out, what to mind. */
import { bodyPartWords, labelOfCause, phrase, sideWords } from '../assess/phrases.ts';
import type { Caution, Focus } from '../contract/answer.ts';
import type { Because } from '../contract/common.ts';
import type { Note, Place, Swap } from '../contract/squad.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Fit } from './reading.ts';
import type { Hindrance } from './reasons.ts';
import { type GroupSession, OWN_FOCUS } from './session.ts';

/** Reasons that a coach has to know of even where the session does not use the drill. */
const KEPT_REASONS = new Set(['caution', 'junior', 'deep-water', 'refused-by-coach']);

export function placeOf(fit: Fit, cause: string | null): Place {
  if (fit.focus.length === 0) return 'no-focus';
  const causes = [...new Set(fit.focus.map((f) => f.cause))];
  const at = cause === null ? -1 : causes.indexOf(cause);
  return at < 0 ? 'outside' : at === 0 ? 'first-focus' : 'second-focus';
}

const named = (ruleSet: RuleSet, f: Focus): string => `${f.label}${sideWords(ruleSet, f.side)}`;

function hindranceWords(hindrance: Hindrance, wanted: readonly string[], ruleSet: RuleSet): string {
  if (hindrance.code === 'no-lane') {
    const labels = wanted.map((cause) => labelOfCause(ruleSet, cause)).join('; ');
    return phrase(ruleSet, 'squad-why-no-lane', { label: labels });
  }
  return phrase(ruleSet, `squad-why-${hindrance.code}`, {
    lane: String(hindrance.lane),
    label: labelOfCause(ruleSet, hindrance.cause),
  });
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
  const why = hindrance === undefined ? '' : hindranceWords(hindrance, missed, ruleSet);
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

function drillNotes(fit: Fit, group: GroupSession, swaps: readonly Swap[], ruleSet: RuleSet): Note[] {
  const warmUp = group.alsoNamed.flatMap((code): Note[] => {
    const excluded = fit.excluded.get(code);
    if (excluded === undefined || swaps.some((s) => s.drill === code)) return [];
    const text = phrase(ruleSet, 'squad-leave-out', { drill: excluded.name, because: excluded.text });
    return [{ kind: 'drill', code, text }];
  });
  const swapped = swaps.map(({ drill, name, because, instead }): Note => {
    const values = {
      drill: name,
      because: because.text,
      instead: instead?.name ?? '',
      cue: instead?.cue ?? '',
    };
    const own = because.code === OWN_FOCUS ? 'squad-swap-own' : 'squad-swap';
    const key = instead === null ? 'squad-swim-easy' : own;
    return { kind: 'drill', code: drill, text: phrase(ruleSet, key, values) };
  });
  return [...swapped, ...warmUp];
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
        text: phrase(ruleSet, 'squad-also', { label: named(ruleSet, f) }),
      }),
    ),
    ...ownCue(fit, group, swaps, ruleSet),
    ...drillNotes(fit, group, swaps, ruleSet),
    ...cautions.map((k): Note => ({ kind: 'caution', code: k.code, text: k.label })),
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
