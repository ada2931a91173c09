/** At most three plain sentences for a coach: what it is, what to do, what to look at. */
import type { NextLook } from '../contract/answer.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Listed, probabilityWord } from './causes.ts';
import { bodyPartWords, labelOfCause, phrase, sideWords } from './phrases.ts';
import type { Concluded } from './study.ts';

function first(c: Concluded, ruleSet: RuleSet): string {
  if (c.status === 'refer') {
    const parts = c.gate.restrictions.map(
      (r) => `${bodyPartWords(ruleSet, r.bodyPart)}${sideWords(ruleSet, r.side)}`,
    );
    return phrase(ruleSet, 'summary-refer', { parts: [...new Set(parts)].join(', ') });
  }
  if (c.status === 'ask-more') {
    return phrase(ruleSet, 'summary-ask-more', {
      reason: ruleSet.texts.sufficiency[c.insufficient[0] as string] ?? '',
    });
  }
  return causeSentence(c.listed.causes, ruleSet);
}

/** Probabilities closer than this read as one story on both sides. */
const ALIKE = 0.05;

function causeSentence(causes: readonly Listed[], ruleSet: RuleSet): string {
  const cause = causes.find((c) => c.rejectedByCoach === undefined);
  if (cause === undefined) return phrase(ruleSet, 'summary-no-cause');
  if (ruleSet.causes.get(cause.code)?.role === 'meta' && cause.code === 'within-normal-variation') {
    return phrase(ruleSet, 'summary-nothing-to-fix');
  }
  const twin = causes.some(
    (c) => c.code === cause.code && c.side !== cause.side && cause.probability - c.probability < ALIKE,
  );
  return phrase(ruleSet, 'summary-cause', {
    label: labelOfCause(ruleSet, cause.code),
    side: sideWords(ruleSet, twin ? 'both' : cause.side),
    word: probabilityWord(cause.probability, ruleSet),
    percent: String(Math.round(cause.probability * 100)),
  });
}

function second(c: Concluded, ruleSet: RuleSet): string {
  // a sore part is named in the first sentence already
  const work = c.focus.filter(
    (f) => c.status !== 'refer' || ruleSet.causes.get(f.cause)?.timeBand !== 'clinician-first',
  );
  if (work.length === 0) return phrase(ruleSet, 'summary-no-focus');
  const focus = work.map((f) => `${f.label}${sideWords(ruleSet, f.side)}`).join('; ');
  if (c.status === 'refer') return phrase(ruleSet, 'summary-meanwhile', { focus });
  return phrase(ruleSet, c.focus[0]?.chosenBy === 'coach' ? 'summary-coach-focus' : 'summary-focus', {
    focus,
  });
}

function third(look: NextLook | undefined, ruleSet: RuleSet): string[] {
  if (look === undefined) return [];
  return [
    phrase(ruleSet, 'summary-look', {
      label: look.label,
      side: sideWords(ruleSet, look.side),
      view: phrase(ruleSet, `view-${look.view}`),
    }),
  ];
}

export function summaryOf(c: Concluded, looks: readonly NextLook[], ruleSet: RuleSet): string {
  return [first(c, ruleSet), second(c, ruleSet), ...third(looks[0], ruleSet)].join(' ');
}
