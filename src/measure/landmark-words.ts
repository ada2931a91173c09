/** What landmarks cannot give, in a coach's words. */
import { phrase, sideWords } from '../assess/phrases.ts';
import type { Message } from '../contract/answer.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { LandmarkNote, LandmarkView } from './landmarks/types.ts';

const viewWords = (ruleSet: RuleSet, view: LandmarkView): string => phrase(ruleSet, `measure-view-${view}`);

const labels = (ruleSet: RuleSet, codes: readonly string[]): string =>
  codes.map((code) => `"${ruleSet.texts.measurements[code]?.label ?? code}"`).join(', ');

/** @returns the message of a note, in the language of the rule set */
export function landmarkMessage(note: LandmarkNote, ruleSet: RuleSet): Message {
  const { severity, code, about, quantities = [], better = [], values = {} } = note;
  const shown = better.map(({ view, codes }) =>
    phrase(ruleSet, 'measure-view-shows', {
      view: viewWords(ruleSet, view),
      quantities: labels(ruleSet, codes),
    }),
  );
  const { segment } = values;
  const text = phrase(ruleSet, `measure-${code}`, {
    ...values,
    ...(segment === undefined ? {} : { segment: phrase(ruleSet, `measure-segment-${segment}`) }),
    quantities: labels(ruleSet, quantities),
    view: about.view === undefined ? '' : viewWords(ruleSet, about.view),
    side: about.side === undefined ? '' : sideWords(ruleSet, about.side),
    better: shown.join(' '),
  });
  return { severity, code, about, text };
}
