/**
 * Every lint, in one list. An id is a stable address: `/problems/lint-{id}` is a page that says what is meant, why it
 * matters, how to mend it, and when to leave it. An `error` keeps a rule set from being loaded; a `warning` does not, and
 * an author may allow it with a reason.
 */
import { ERRORS } from './errors.ts';

export interface Lint {
  readonly severity: 'error' | 'warning';
  readonly title: string;
  readonly what: string;
  readonly why: string;
  readonly mend: string;
  readonly ignore: string;
}

const WARNINGS = {
  'unreachable-rule': {
    title: 'A rule, or a part of it, can never hold',
    what: 'The conditions ask for a value that the fact cannot have, for something that is concluded only later, or the template is written out for nothing.',
    why: 'The rule looks as if it did something, and never will. Whoever relies on it is not protected.',
    mend: 'Ask for a value that can occur, for a fact that is known by then (the guide lists the order of the rules), or remove the rule.',
    ignore:
      'Hardly ever. A rule that waits for a drill or an observation still to come belongs into the draft that brings it.',
  },
  'contradictory-rule': {
    title: 'Conditions, or two rules, contradict each other',
    what: 'All conditions must hold and two of them exclude each other, or two clues pull one cause up and down under the same conditions.',
    why: 'The first can never fire, and the second two cancel out or leave a remainder that nobody chose.',
    mend: 'Write "any" where either will do; keep one of two opposite clues.',
    ignore: 'Never.',
  },
  'shadowed-rule': {
    title: 'A rule adds nothing to another',
    what: 'Whenever this rule fires, another one fires as well and does the same.',
    why: 'A later author will change the one and wonder why nothing changes.',
    mend: 'Remove the narrower rule, or narrow the wider one.',
    ignore: 'Where the narrower rule is there to show its own reason to the swimmer: allow it and say so.',
  },
  'duplicate-rule': {
    title: 'The same rule twice',
    what: 'Two rules fire under the same conditions and do the same.',
    why: 'A clue or a report that stands twice counts twice.',
    mend: 'Keep one of the two.',
    ignore: 'Never.',
  },
  'table-overlap': {
    title: 'Two rules of an exclusive table hold at once',
    what: 'The rules name the same "table", which declares that they exclude each other, and for some facts two of them hold.',
    why: 'The author promised one answer, and there are two.',
    mend: 'Draw the limit between the two so that only one holds, or take them out of the table if both may hold.',
    ignore: 'Never: without the declaration there is nothing to report.',
  },
  'table-gap': {
    title: 'No rule of an exclusive table holds',
    what: 'The rules name the same "table", which declares that one of them always holds, and for some known facts none does.',
    why: 'Swimmers who fall into the gap get nothing where something was meant.',
    mend: 'Widen a rule, or add one for what is left. Facts that are not known count only where a rule of the table speaks of not knowing.',
    ignore: 'Never: without the declaration there is nothing to report.',
  },
  'wrong-unit': {
    title: 'A limit that nothing can reach',
    what: 'A condition compares with a number outside of what the measurement or fact can be.',
    why: 'Most often the limit was written in another unit, such as metres for centimetres; the rule then always or never holds.',
    mend: 'Give the limit in the unit of the vocabulary.',
    ignore: 'Never.',
  },
  'faint-strength': {
    title: 'A sign that hardly speaks for its cause',
    what: 'The finding is nearly as common without the cause as with it: seen, it counts less than 1.25 dB. The message tells back what the words say in counts of swimmers.',
    why: 'Such a link moves no probability that a coach could see, and it makes the finding look explained.',
    mend: 'Ask again: of twenty swimmers whose only fault is this, how many show it? And of twenty with none of its causes? Take the words that fit, or drop the link.',
    ignore: 'Where looking for it and not finding it is what tells.',
  },
  diamond: {
    title: 'A finding reaches a cause by two ways',
    what: 'A cause is linked to a finding, and also drives a mechanism that is linked to the same finding.',
    why: 'One sighting counts twice for the cause: directly and through the mechanism.',
    mend: 'Keep the way that is meant. As a rule the mechanism carries the finding, and the link of the cause goes.',
    ignore:
      'Where the cause brings the finding about on its own as well, besides the mechanism: allow it about that finding and say how.',
  },
  'driver-is-rival': {
    title: 'A driver is also a rival',
    what: 'One cause drives another, and both are linked to the same finding.',
    why: 'In the network two parents of one finding explain it away from each other, so the driver loses where what it drives is probable.',
    mend: 'Remove the link of the driver: it reaches the finding through what it drives. Where both bring it about independently, remove the driver.',
    ignore:
      'Where each does bring the finding about on its own, and telling them apart is what matters: allow it about that finding and say why.',
  },
  'clue-repeats-link': {
    title: 'A clue counts what links have counted',
    what: 'Every condition of the clue is a finding that is already linked to the same cause.',
    why: 'Links weigh the findings and share them among the causes; the clue adds the same once more and is never shared.',
    mend: 'Strengthen the links, or ask in the clue for something that is no effect of the cause.',
    ignore:
      'Where the findings tell something together that none of them tells alone: allow it and say what.',
  },
  'unheard-cause': {
    title: 'Nothing speaks for a cause',
    what: 'No link, no clue and no driver can raise this cause.',
    why: 'It can never be listed, however plain it is.',
    mend: 'Link a finding to it, or remove it.',
    ignore: 'Where the coach alone may choose it.',
  },
  'unreported-finding': {
    title: 'Nothing reports on a finding',
    what: 'No observation has its name and no rule of the reports speaks of it.',
    why: 'It can never be present or absent, so its links are silent.',
    mend: 'Add the observation, or a report from a measurement.',
    ignore: 'Never.',
  },
  'cause-without-drill': {
    title: 'A cause without a drill',
    what: 'No drill works on this cause, though it can become the focus.',
    why: 'The swimmer would be told what to change and not how.',
    mend: 'Name it among the targets of a drill that works on it, or write one.',
    ignore: 'Where somebody else has to act first, such as a clinician: allow it and say who.',
  },
  'drill-without-cause': {
    title: 'A drill without a cause',
    what: 'The drill has no target with an effect.',
    why: 'It is never chosen.',
    mend: 'Say which cause it works on, and how well: 1 some, 2 good, 3 best.',
    ignore: 'Where a session names it as a warm-up.',
  },
  'contraindication-unchecked': {
    title: 'A danger of a drill that no rule looks for',
    what: 'The drill loads a body part, works against a cause or names a caution, and no rule asks for it.',
    why: 'Somebody with that complaint would be given the drill.',
    mend: 'Add the rule that asks: a template under drill-exclusions for loads and causes, a caution rule for a caution.',
    ignore: 'Never.',
  },
  'no-case': {
    title: 'A rule without a case',
    what: 'No case of the library makes this rule fire.',
    why: 'Whoever breaks it will not notice.',
    mend: 'Add a case. The coverage proposes a record that makes it fire, where one can be made.',
    ignore: 'Where only a record that nobody could make up would do.',
  },
  'breath-holding-task': {
    title: 'A text sets held breath as a task',
    what: 'The words of a drill, a session or a plan ask to hold the breath, to skip breaths or to swim under water for distance.',
    why: 'Held breath and hard breathing before it make swimmers faint under water without warning. People drown that way.',
    mend: 'Leave the breath to the swimmer, and let the air go all the time under water.',
    ignore:
      'Only where the words forbid it and the lint does not see that: allow it about that text and say so.',
  },
  'unused-allow': {
    title: 'An allowance that nothing needs',
    what: 'The entry allows a lint that no longer speaks here, or that does not exist.',
    why: 'An old allowance hides the next mistake of its kind.',
    mend: 'Remove it.',
    ignore: 'Never.',
  },
} as const satisfies { readonly [id: string]: Omit<Lint, 'severity'> };

export type LintId = keyof typeof WARNINGS;

const withSeverity = <Id extends string>(
  lints: { readonly [K in Id]: Omit<Lint, 'severity'> },
  severity: Lint['severity'],
): { readonly [K in Id]: Lint } =>
  Object.fromEntries(
    Object.entries<Omit<Lint, 'severity'>>(lints).map(([id, l]) => [id, { severity, ...l }]),
  ) as { readonly [K in Id]: Lint };

export const LINTS: { readonly [id: string]: Lint } = {
  ...withSeverity(ERRORS, 'error'),
  ...withSeverity(WARNINGS, 'warning'),
};

/** Lints that the author of a rule set may allow with a reason. */
export const WARNING_IDS = Object.keys(WARNINGS) as readonly LintId[];
