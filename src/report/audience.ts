/** Who reads a report, and which cautions are meant for whom. */
import type { Caution } from '../contract/answer.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';

export type Audience = 'coach' | 'swimmer';

/** To the coach. */
export const cautionItems = (cautions: readonly Caution[]): string[] =>
  cautions.map((k) => `${k.label}. ${k.text}`);

/** To the swimmer, in words meant for him; what is about filming, coaching or the tool has none and is left out. */
export const swimmerCautions = (cautions: readonly Pick<Caution, 'code'>[], ruleSet: RuleSet): string[] =>
  cautions.flatMap(({ code }) => ruleSet.texts.cautions[code]?.toSwimmer ?? []);
