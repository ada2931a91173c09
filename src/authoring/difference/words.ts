/** What a change of one entry means, in a coach's words. */
import { labelOfCause, labelOfFinding } from '../../assess/phrases.ts';
import { LEVELS } from '../../contract/common.ts';
import type { CauseEntry, DriverEntry, FindingEntry, Parts } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { echoOf } from '../echo.ts';

/** Two versions of an entry, each with the rule set that it belongs to; one is missing where it was added or removed. */
export interface Versions<T> {
  readonly before: T | undefined;
  readonly after: T | undefined;
  readonly base: RuleSet;
  readonly draft: RuleSet;
}

type Link = Parts['links'][number];
type Modifier = Parts['modifiers'][number];
type Deduction = Parts['deductions'][number];

const outOf = (share: number, of = 100): string => `${Math.round(share * of * 10) / 10} of ${of}`;
const stronger = (before: number, after: number): string =>
  after > before ? 'more strongly' : after < before ? 'more weakly' : 'as before';

function echoIn(link: Link, ruleSet: RuleSet) {
  const { finding, shows } = link.event.params;
  const background = ruleSet.findings.get(finding)?.background as string;
  return echoOf(shows, background, ruleSet.parts.constants.words);
}

export function linkWords({ before, after, base, draft }: Versions<Link>): string {
  const { finding, cause } = (after ?? (before as Link)).event.params;
  const [sign, fault] = [
    labelOfFinding(after ? draft : base, finding),
    labelOfCause(after ? draft : base, cause),
  ];
  if (after === undefined) return `"${sign}" no longer speaks for "${fault}".`;
  const now = echoIn(after, draft);
  if (before === undefined) return `"${sign}" now speaks for "${fault}". ${now.text}`;
  const then = echoIn(before, base);
  if (then.text === now.text)
    return `The link from "${sign}" to "${fault}" changed, but not its strength. ${now.text}`;
  return `"${sign}" speaks for "${fault}" ${stronger(then.seenDb, now.seenDb)}. ${now.text} Before: ${then.text.replace('You say: ', '')}`;
}

export function findingWords({ before, after, base, draft }: Versions<FindingEntry>): string | undefined {
  if (before === undefined || after === undefined || before.background === after.background) return undefined;
  const share = (f: FindingEntry, r: RuleSet): number =>
    r.parts.constants.words.background[f.background] as number;
  const [then, now] = [share(before, base), share(after, draft)];
  return `"${labelOfFinding(draft, after.code)}" counts as ${now > then ? 'more common' : 'rarer'} in swimmers with none of its causes: ${outOf(now)}, before ${outOf(then)}. All its links change their weight.`;
}

export function causeWords({ before, after, base, draft }: Versions<CauseEntry>): string | undefined {
  if (before === undefined || after === undefined) return undefined;
  const share = (c: CauseEntry, level: (typeof LEVELS)[number], r: RuleSet): number =>
    r.parts.constants.words.prior[c.prior?.[level] as string] ?? 0;
  const moved = LEVELS.filter((l) => before.prior?.[l] !== after.prior?.[l]).map(
    (l) => `${outOf(share(after, l, draft))} ${l} swimmers, before ${outOf(share(before, l, base))}`,
  );
  if (moved.length === 0) return undefined;
  return `Before anything is seen, "${labelOfCause(draft, after.code)}" is expected in ${moved.join('; in ')}.`;
}

export function driverWords({ before, after, base, draft }: Versions<DriverEntry>): string {
  const { driver, driven } = after ?? (before as DriverEntry);
  const ruleSet = after === undefined ? base : draft;
  const [from, to] = [labelOfCause(ruleSet, driver), labelOfCause(ruleSet, driven)];
  if (after === undefined) return `"${from}" no longer leads to "${to}".`;
  const words = draft.parts.constants.words.shows;
  const often = `of 20 swimmers whose only fault is the first, ${Math.round((words[after.shows] as number) * 20)} have the second`;
  if (before === undefined) return `"${from}" now leads to "${to}": ${often}.`;
  const then = base.parts.constants.words.shows[before.shows] as number;
  return `"${from}" leads to "${to}" ${stronger(then, words[after.shows] as number)}: ${often}, before ${Math.round(then * 20)}.`;
}

export function modifierWords({ before, after, base, draft }: Versions<Modifier>): string {
  const { cause, sign } = (after ?? (before as Modifier)).event.params;
  const fault = labelOfCause(after === undefined ? base : draft, cause);
  const words = (m: Modifier, r: RuleSet): string =>
    `"${r.texts.modifiers[m.id] ?? m.rationale}" (${m.event.params.strength}, ${r.parts.constants.words.strength[m.event.params.strength] ?? 0} dB)`;
  const direction = sign === 1 ? 'for' : 'against';
  if (after === undefined)
    return `A clue ${direction} "${fault}" is gone: ${words(before as Modifier, base)}.`;
  if (before === undefined) return `A new clue ${direction} "${fault}": ${words(after, draft)}.`;
  return `A clue ${direction} "${fault}" changed: ${words(after, draft)}, before ${words(before, base)}.`;
}

export function deductionWords({ before, after, base, draft }: Versions<Deduction>): string {
  const { finding, phase } = (after ?? (before as Deduction)).event.params;
  const fault = labelOfFinding(after === undefined ? base : draft, finding);
  const shares = (d: Deduction): string =>
    d.event.params.shares.map((s) => `${Math.round(s * 100)} %`).join(', ');
  if (after === undefined) return `"${fault}" no longer costs the ${phase} anything.`;
  if (before === undefined)
    return `"${fault}" now costs the ${phase} ${shares(after)} (slight, moderate, marked).`;
  return `"${fault}" costs the ${phase} ${shares(after)} (slight, moderate, marked), before ${shares(before)}.`;
}
