/** Who reads a report, and which cautions are meant for whom. */
import { phrase } from '../assess/phrases.ts';
import type { Caution } from '../contract/answer.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Block, heading, list, text } from './document.ts';

export type Audience = 'coach' | 'swimmer';

/** To the coach. */
export const cautionItems = (cautions: readonly Caution[]): string[] =>
  cautions.map((k) => `${k.label}. ${k.text}`);

/** To the swimmer, in words meant for him; what is about filming, coaching or the tool has none and is left out. */
export const swimmerCautions = (cautions: readonly Pick<Caution, 'code'>[], ruleSet: RuleSet): string[] =>
  cautions.flatMap(({ code }) => ruleSet.texts.cautions[code]?.toSwimmer ?? []);

/** What a swimmer has to mind: every caution of this record, and the signs at which anybody stops. None is cut off. */
export function stopBlocks(cautions: readonly Caution[], ruleSet: RuleSet): Block[] {
  const own = swimmerCautions(cautions, ruleSet);
  return [
    heading(phrase(ruleSet, 'report-stop-for')),
    text(phrase(ruleSet, 'report-swimmer-stop'), 'stop'),
    ...(own.length > 0 ? [list(own)] : []),
  ];
}
