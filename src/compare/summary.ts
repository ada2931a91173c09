/** The comparison in a few sentences: what else changed first, then what got better, worse, or perhaps. */
import { phrase, sideWords } from '../assess/phrases.ts';
import type { Because } from '../contract/common.ts';
import type { Change, Condition } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { gotBetter } from './verdict.ts';

const MOST_NAMED = 3;

export function summaryOf(
  changes: readonly Change[],
  conditions: readonly Condition[],
  ruleSet: RuleSet,
): string {
  const named = (verdict: Change['verdict']): string[] =>
    changes
      // a cause is our reading, not something that anybody saw change
      .filter((c) => c.kind !== 'cause' && c.verdict === verdict)
      .slice(0, MOST_NAMED)
      .map((c) => `${c.label}${sideWords(ruleSet, c.side)}`);
  const told = (key: string, items: readonly string[]): string[] =>
    items.length === 0 ? [] : [phrase(ruleSet, key, { items: items.join('; ') })];
  const also = conditions.map((c) => phrase(ruleSet, `condition-name-${c.code}`));
  const verdicts = (['worse', 'clear-change', 'possible-change'] as const).flatMap((v) =>
    told(`comparison-${v}`, named(v)),
  );
  const blocked = changes.some((c) => c.verdict !== 'not-comparable') ? [] : ['comparison-blocked'];
  const nothing = verdicts.length === 0 && blocked.length === 0 ? ['comparison-nothing'] : [];
  return [
    ...told('comparison-also-changed', [...new Set(also)]),
    ...verdicts,
    ...[...blocked, ...nothing].map((key) => phrase(ruleSet, key)),
  ].join(' ');
}

/** Technique and speed are told apart: neither is credited with the other's change. */
export function messagesOf(changes: readonly Change[], ruleSet: RuleSet): Because[] {
  const say = (code: string): Because => ({ code, text: phrase(ruleSet, `message-${code}`) });
  const seen = changes.filter((c) => c.kind === 'finding' && c.verdict !== 'not-comparable');
  const speed = changes.find((c) => c.kind === 'measurement' && c.code === 'swim-speed');
  const compared = seen.length > 0 && speed !== undefined && speed.verdict !== 'not-comparable';
  const technique = seen.some(gotBetter);
  const faster = speed !== undefined && gotBetter(speed);
  return [
    ...(compared && technique && !faster ? [say('form-before-speed')] : []),
    ...(compared && faster && !technique ? [say('speed-without-form')] : []),
    ...(changes.some((c) => (c.statistics?.count.withoutPartner ?? 0) > 0)
      ? [say('repeats-without-partner')]
      : []),
    say('not-recorded'),
  ];
}
