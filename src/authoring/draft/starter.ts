/**
 * What a new rule set stands on when it has no base. Nothing of a stroke, but what no stroke may be without: the numbers
 * behind the words, the fixed lists, the sentences of the service, and everything that keeps swimmers safe: the health
 * gate, the cautions that follow from health and age, and the rules that keep ruled-out drills away; and plans, which only
 * know weeks. They are taken from a rule set that is served, so that safety is written once.
 */
import { authoredLeaves } from '../../knowledge/expand.ts';
import type { AuthoredRule, Manifest, PartName, Parts } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Texts } from '../../knowledge/texts.ts';
import { mergePatch } from './merge-patch.ts';
import type { Source } from './overlay.ts';
import { LIST_PARTS, sectionOf, wordsPatch } from './parts.ts';

/** Families of facts that are there for any stroke. */
const HEALTH_FACTS = /^(sign|condition|pain|restricted|ache|named-by-drill|refused-drill):/;
/** Facts of the templates that stand for whatever drills there are. */
const OF_A_DRILL = /^(cause|focus):\$cause$/;

const askedBy = (rules: readonly AuthoredRule[]): string[] =>
  rules.flatMap((rule) =>
    authoredLeaves(rule.conditions).map(({ leaf }) => leaf.fact.split('@')[0] as string),
  );

/** @param donor the rule set that the starter is taken from. */
export function starterOf({ manifest, parts, texts, catalogue }: RuleSet): Source {
  const gateFacts = new Set(askedBy(parts['gate-rules']));
  const observations = parts.observations.filter((o) => gateFacts.has(o.code));
  const measurements = parts.measurements.filter((m) => gateFacts.has(m.code));
  const vocabulary = new Set(
    [...parts.observations, ...parts.measurements, ...parts['quality-flags']].map((e) => e.code),
  );
  const anyStroke = (fact: string): boolean =>
    HEALTH_FACTS.test(fact) ||
    OF_A_DRILL.test(fact) ||
    gateFacts.has(fact) ||
    (catalogue.has(fact) && !fact.includes(':') && !vocabulary.has(fact));
  const general = <R extends AuthoredRule>(rules: readonly R[]): R[] =>
    rules.filter((rule) => askedBy([rule]).every(anyStroke));

  const cautionRules = general(parts['caution-rules']);
  const planRules = general(parts['plan-rules']);
  const raised = new Set([
    ...[...parts['gate-rules'], ...cautionRules].map((rule) => rule.event.params.caution),
    ...planRules.flatMap(({ event: { params } }) => (params.effect === 'caution' ? [params.caution] : [])),
  ]);
  const kept: Partial<{ [K in PartName]: readonly unknown[] }> = {
    observations,
    measurements,
    cautions: parts.cautions.filter((c) => raised.has(c.code)),
    'gate-rules': parts['gate-rules'],
    'caution-rules': cautionRules,
    'drill-exclusions': general(parts['drill-exclusions']),
    'change-limits': parts['change-limits'].filter((l) => measurements.some((m) => m.code === l.code)),
    plans: parts.plans,
    'plan-decisions': parts['plan-decisions'],
    'plan-rules': planRules,
  };
  const own = Object.fromEntries(
    Object.entries(parts).map(([name, part]) => [
      name,
      Array.isArray(part) ? (kept[name as PartName] ?? []) : part,
    ]),
  ) as unknown as Parts;
  return { manifest: unnamed(manifest), parts: own, texts: wordsOf(own, texts, parts), cases: [] };
}

const unnamed = (manifest: Manifest): Manifest => ({ ...manifest, name: 'unnamed', title: '' });

/** The words of the entries that are kept, the fixed lists and the sentences of the service. */
function wordsOf(parts: Parts, texts: Texts, all: Parts): Texts {
  let words: unknown = { ...texts, glossary: {} };
  for (const [part, { key }] of LIST_PARTS) {
    const section = sectionOf(part);
    if (section === undefined) continue;
    const named = (of: Parts): string[] =>
      (of[part as PartName] as unknown as { [k: string]: string }[]).map((e) => e[key] as string);
    const kept = new Set(named(parts));
    for (const name of named(all))
      if (!kept.has(name)) words = mergePatch(words, wordsPatch(section, name, null), () => undefined);
  }
  return words as Texts;
}
