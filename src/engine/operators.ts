/**
 * The only operators that rules may use: typed, without coercion, and three-valued.
 *
 * An operator answers `true`, `false`, or `undefined` when the fact is not known. Four operators ask about
 * the not-knowing itself (`notAssessed`, `isUnknown`, `isNotConfirmed`, `notSeen`) and always answer.
 * There is no `not`: the opposite of "seen" is either "looked for and absent" or "not looked at", and a rule
 * has to say which one it means.
 */
import { z } from 'zod';
import type { FactKind, FactValue, Measured, PainReport, Seen } from './facts.ts';

export type Truth = boolean | undefined;

/** Lowest probability of each word, taken from the constants of the rule set when it is compiled. */
export type WordBounds = ReadonlyMap<string, number>;

export interface OperatorSpec {
  readonly kinds: readonly FactKind[];
  /** Shape of the value a rule may compare with. */
  readonly value: z.ZodType;
  /** Answers even when the fact is not known. */
  readonly total?: boolean;
  /** In a whole-body rule a sided fact is asked of both sides; this operator must then hold on both, not on one. */
  readonly onBothSides?: boolean;
  readonly test: (actual: FactValue, value: never, words: WordBounds) => Truth;
}

const yes = z.literal(true);
const codes = z.array(z.string()).min(1);
const grade = z.int().min(1).max(3);

function operator<A, V>(
  kinds: readonly FactKind[],
  value: z.ZodType<V>,
  test: (actual: A, value: V, words: WordBounds) => Truth,
): OperatorSpec {
  return {
    kinds,
    value,
    test: (actual: FactValue, v: never, words) =>
      actual === undefined ? undefined : test(actual as A, v, words),
  };
}

function total<V>(
  kinds: readonly FactKind[],
  value: z.ZodType<V>,
  test: (actual: FactValue) => boolean,
): OperatorSpec {
  return { kinds, value, total: true, onBothSides: true, test: (actual: FactValue) => test(actual) };
}

/** What was looked at and disputed is assessed, but not known. */
const unlessDisputed = (seen: Seen, truth: boolean): Truth => (seen.disputed ? undefined : truth);

function onBothSides(spec: OperatorSpec): OperatorSpec {
  return { ...spec, onBothSides: true };
}

const anyKind: readonly FactKind[] = [
  'seen',
  'measured',
  'pain',
  'flag',
  'number',
  'text',
  'list',
  'probability',
];

function atLeastWord(probability: number, word: string, words: WordBounds): boolean {
  return probability >= (words.get(word) ?? Number.POSITIVE_INFINITY);
}

export const OPERATORS: Readonly<Record<string, OperatorSpec>> = Object.freeze({
  // looked for
  isAssessed: operator(['seen'], yes, (_: Seen) => true),
  seenAtLeast: operator(['seen'], grade, (a: Seen, v) => unlessDisputed(a, a.severity >= v)),
  seenAbsent: onBothSides(operator(['seen'], yes, (a: Seen) => unlessDisputed(a, a.severity === 0))),
  notAssessed: total(['seen', 'measured'], yes, (a) => a === undefined),
  notSeen: total(
    ['seen'],
    yes,
    (a) => a === undefined || (a as Seen).disputed === true || (a as Seen).severity === 0,
  ),
  // measured
  isMeasured: operator(['measured'], yes, (_: Measured) => true),
  measuredAtLeast: operator(['measured'], z.number(), (a: Measured, v) => a.value >= v),
  measuredAbove: operator(['measured'], z.number(), (a: Measured, v) => a.value > v),
  measuredAtMost: operator(['measured'], z.number(), (a: Measured, v) => a.value <= v),
  // pain
  painAtLeast: operator(['pain'], z.number(), (a: PainReport, v) => a.score >= v),
  painAbove: operator(['pain'], z.number(), (a: PainReport, v) => a.score > v),
  painAtMost: operator(['pain'], z.number(), (a: PainReport, v) => a.score <= v),
  painHasAnyOf: operator(['pain'], codes, (a: PainReport, v) => v.some((c) => a.features.includes(c))),
  // yes and no
  is: operator(['flag'], z.boolean(), (a: boolean, v) => a === v),
  isNotConfirmed: total(['flag'], yes, (a) => a !== true),
  isUnknown: total(anyKind, yes, (a) => a === undefined),
  // numbers, words, lists
  atLeast: operator(['number'], z.number(), (a: number, v) => a >= v),
  above: operator(['number'], z.number(), (a: number, v) => a > v),
  atMost: operator(['number'], z.number(), (a: number, v) => a <= v),
  isOneOf: operator(['text'], codes, (a: string, v) => v.includes(a)),
  isNoneOf: operator(['text'], codes, (a: string, v) => !v.includes(a)),
  includesAnyOf: operator(['list'], codes, (a: readonly string[], v) => v.some((c) => a.includes(c))),
  includesNoneOf: operator(['list'], codes, (a: readonly string[], v) => !v.some((c) => a.includes(c))),
  // causes
  probabilityAtLeast: operator(['probability'], z.string(), (a: number, v, words) =>
    atLeastWord(a, v, words),
  ),
  probabilityBelow: onBothSides(
    operator(['probability'], z.string(), (a: number, v, words) => !atLeastWord(a, v, words)),
  ),
});

export const OPERATOR_NAMES = Object.keys(OPERATORS);
