/**
 * The values of a fact that matter to some conditions: enough of them that every condition which can hold does so for at
 * least one, and every one that can fail fails for at least one.
 */
import type { Leaf } from '../../engine/conditions.ts';
import type { FactValue } from '../../engine/facts.ts';
import { type FactSpec, RUN_ORDER } from '../../knowledge/fact-catalogue.ts';
import type { RulePart } from '../../knowledge/parts.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';

export const baseOf = (fact: string): string => fact.split('@')[0] as string;

const ORDER: readonly RulePart[] = RUN_ORDER;

/** Whether rules of this part run before the fact is concluded, and so never see it. */
export function tooEarly(spec: FactSpec, part: RulePart): boolean {
  return spec.after !== undefined && ORDER.indexOf(part) <= ORDER.indexOf(spec.after);
}

const numbersIn = (leaves: readonly Leaf[]): number[] =>
  leaves.flatMap(({ value }) => (typeof value === 'number' ? [value] : []));
const wordsIn = (leaves: readonly Leaf[]): string[] => [
  ...new Set(leaves.flatMap(({ value }) => (Array.isArray(value) ? (value as string[]) : []))),
];

/** The limits that are compared with, what lies between them, and the ends of the range. */
function numbers(leaves: readonly Leaf[], { range, whole }: FactSpec): number[] {
  const limits = numbersIn(leaves);
  const [least, most] = range ?? [Math.min(...limits, 0) - 1, Math.max(...limits, 0) + 1];
  const sorted = [...new Set([least, ...limits, most])].sort((a, b) => a - b);
  const between = sorted.slice(1).map((to, i) => (to + (sorted[i] as number)) / 2);
  const beside = whole ? limits.flatMap((n) => [n - 1, n, n + 1]) : between;
  return [...new Set([...sorted, ...beside])].filter(
    (n) => n >= least && n <= most && (!whole || Number.isInteger(n)),
  );
}

/** Most words whose combinations are looked through. */
const MOST_WORDS = 14;

/** Lists of up to three of the words that are compared with, all of them, and one that holds none of them. */
function lists(leaves: readonly Leaf[], values: readonly string[] | undefined): string[][] {
  const words = wordsIn(leaves).filter((w) => values?.includes(w) ?? true);
  const few = words.slice(0, MOST_WORDS);
  const other =
    values === undefined ? ['something else'] : values.filter((v) => !words.includes(v)).slice(0, 1);
  const two = few.flatMap((a, i) => few.slice(i + 1).map((b) => [a, b]));
  const three = two.flatMap(([a, b]) =>
    few.slice(few.indexOf(b as string) + 1).map((c) => [a as string, b as string, c]),
  );
  return [[], ...words.map((w) => [w]), ...two, ...three, words, other];
}

function known(spec: FactSpec, leaves: readonly Leaf[], ruleSet: RuleSet): FactValue[] {
  switch (spec.kind) {
    case 'seen': {
      const severities = [0, 1, 2, 3] as const;
      return [
        ...severities.map((severity) => ({ severity, certainty: 'sure' as const })),
        { severity: 0, certainty: 'unsure', disputed: true },
      ];
    }
    case 'measured':
      return numbers(leaves, spec).map((value) => ({ value, certainty: 'sure' }));
    case 'pain': {
      const features = lists(leaves, ruleSet.parts.lists.painFeatures);
      return numbers(leaves, spec).flatMap((score) => features.map((f) => ({ score, features: f })));
    }
    case 'flag':
      return spec.neverFalse ? [true] : [true, false];
    case 'number':
      return numbers(leaves, spec);
    case 'text':
      return [...(spec.values ?? [...wordsIn(leaves), 'something else'])];
    case 'list':
      return lists(leaves, spec.values);
    case 'probability': {
      const bounds = [...ruleSet.words.values()];
      return [...new Set([...bounds, 1])];
    }
  }
}

/**
 * @param leaves the conditions on this one fact that are to be told apart.
 * @param part the rules that ask; `undefined` among the values means that the fact may be unknown to them.
 */
export function valuesOf(
  fact: string,
  leaves: readonly Leaf[],
  part: RulePart,
  ruleSet: RuleSet,
): readonly FactValue[] {
  const spec = ruleSet.catalogue.get(baseOf(fact));
  if (spec === undefined || tooEarly(spec, part)) return [undefined];
  const values = known(spec, leaves, ruleSet);
  return spec.always ? values : [undefined, ...values];
}
