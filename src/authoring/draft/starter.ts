/**
 * What a new rule set stands on when it has no base. Nothing of a stroke, but what no stroke may be without: the numbers
 * behind the words, the fixed lists, the sentences of the service, and everything that keeps swimmers safe: the health
 * gate, the cautions that follow from health and age, and the rules that keep ruled-out drills away. They are taken from a
 * rule set that is served, so that safety is written once.
 */
import { authoredLeaves } from '../../knowledge/expand.ts';
import type { AuthoredRule, Manifest, PartName, Parts } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import type { Texts } from '../../knowledge/texts.ts';
import type { Source } from './overlay.ts';
import { LIST_PARTS, sectionOf } from './parts.ts';

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
  const raised = new Set([...parts['gate-rules'], ...cautionRules].map((rule) => rule.event.params.caution));
  const kept: Partial<{ [K in PartName]: readonly unknown[] }> = {
    observations,
    measurements,
    cautions: parts.cautions.filter((c) => raised.has(c.code)),
    'gate-rules': parts['gate-rules'],
    'caution-rules': cautionRules,
    'drill-exclusions': general(parts['drill-exclusions']),
  };
  const own = Object.fromEntries(
    Object.entries(parts).map(([name, part]) => [
      name,
      Array.isArray(part) ? (kept[name as PartName] ?? []) : part,
    ]),
  ) as unknown as Parts;
  return { manifest: unnamed(manifest), parts: own, texts: wordsOf(own, texts), cases: [] };
}

const unnamed = (manifest: Manifest): Manifest => ({ ...manifest, name: 'unnamed', title: '' });

/** The words of the entries that are kept, the fixed lists and the sentences of the service. */
function wordsOf(parts: Parts, texts: Texts): Texts {
  const words = { ...texts, glossary: {} } as { [section: string]: unknown };
  for (const [part, { key }] of LIST_PARTS) {
    const section = sectionOf(part);
    if (section === undefined) continue;
    const names = new Set(
      (parts[part as PartName] as unknown as { [k: string]: string }[]).map((e) => e[key]),
    );
    words[section] = Object.fromEntries(
      Object.entries(texts[section] as object).filter(([name]) => names.has(name)),
    );
  }
  return words as unknown as Texts;
}
