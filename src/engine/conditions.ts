/**
 * Conditions in the JSON format of json-rules-engine, compiled once into closures over fact slots.
 *
 * The truth tables are Kleene's: `all` is false as soon as one part is false, true when all are true and
 * unknown otherwise; `any` is its mirror image.
 */
import type { FactValue, Slots } from './facts.ts';
import { OPERATORS, type OperatorSpec, type Truth, type WordBounds } from './operators.ts';

export interface Leaf {
  readonly fact: string;
  readonly operator: string;
  readonly value: unknown;
}
export type Condition =
  | Leaf
  | { readonly all: readonly Condition[] }
  | { readonly any: readonly Condition[] };
export type Group = Exclude<Condition, Leaf>;

/** Fact id to slot. Ids are handed out in the order they are asked for. */
export class FactTable {
  readonly #slots = new Map<string, number>();

  slotOf(fact: string): number {
    const known = this.#slots.get(fact);
    if (known !== undefined) return known;
    this.#slots.set(fact, this.#slots.size);
    return this.#slots.size - 1;
  }

  /** The slot of a fact that some rule asks for; undefined when no rule does. */
  find(fact: string): number | undefined {
    return this.#slots.get(fact);
  }

  get size(): number {
    return this.#slots.size;
  }

  get facts(): readonly string[] {
    return [...this.#slots.keys()];
  }
}

export type Test = (slots: Slots) => Truth;

export function isLeaf(condition: Condition): condition is Leaf {
  return 'fact' in condition;
}

/** All leaves in the order they are written. */
export function leavesOf(condition: Condition): Leaf[] {
  if (isLeaf(condition)) return [condition];
  return ('all' in condition ? condition.all : condition.any).flatMap(leavesOf);
}

function allOf(tests: readonly Test[]): Test {
  const [only] = tests;
  if (only !== undefined && tests.length === 1) return only;
  return (slots) => {
    let truth: Truth = true;
    for (const test of tests) {
      const part = test(slots);
      if (part === false) return false;
      if (part === undefined) truth = undefined;
    }
    return truth;
  };
}

function anyOf(tests: readonly Test[]): Test {
  const [only] = tests;
  if (only !== undefined && tests.length === 1) return only;
  return (slots) => {
    let truth: Truth = false;
    for (const test of tests) {
      const part = test(slots);
      if (part === true) return true;
      if (part === undefined) truth = undefined;
    }
    return truth;
  };
}

function specOf({ operator }: Leaf): OperatorSpec {
  const spec = Object.hasOwn(OPERATORS, operator) ? OPERATORS[operator] : undefined;
  if (spec === undefined) throw new Error(`unknown operator ${operator}`);
  return spec;
}

/** @throws Error when the operator is not one of {@link OPERATORS}; loading checks this first. */
export function compile(condition: Condition, table: FactTable, words: WordBounds): Test {
  if (isLeaf(condition)) {
    const spec = specOf(condition);
    const slot = table.slotOf(condition.fact);
    const value = condition.value as never;
    const { test } = spec;
    return (slots) => test(slots[slot], value, words);
  }
  if ('all' in condition) return allOf(condition.all.map((part) => compile(part, table, words)));
  return anyOf(condition.any.map((part) => compile(part, table, words)));
}

/**
 * Slots of which at least one must be known for the condition to hold: what cannot fire is left out by a look at
 * these. Undefined when it can hold with nothing known.
 */
export function guardsOf(condition: Condition, table: FactTable): readonly number[] | undefined {
  if (isLeaf(condition)) return specOf(condition).total ? undefined : [table.slotOf(condition.fact)];
  if ('all' in condition) {
    const guards = condition.all.map((part) => guardsOf(part, table)).filter((g) => g !== undefined);
    return guards.sort((a, b) => a.length - b.length)[0];
  }
  const guards = condition.any.map((part) => guardsOf(part, table));
  return guards.every((g) => g !== undefined) ? [...new Set(guards.flat())] : undefined;
}

export interface LeafValue {
  readonly fact: string;
  readonly operator: string;
  readonly value: unknown;
  readonly actual: FactValue;
  readonly truth: Truth;
}

/** A leaf that knows where its fact stands. */
export interface PlacedLeaf extends Leaf {
  readonly slot: number | undefined;
  readonly test: OperatorSpec['test'];
}

/** All leaves in the order they are written. */
export function placeLeaves(condition: Condition, table: FactTable): PlacedLeaf[] {
  return leavesOf(condition).map((leaf) => ({
    ...leaf,
    slot: table.find(leaf.fact),
    test: specOf(leaf).test,
  }));
}

/** Every leaf with the value it met: what the trail shows of a rule. */
export function explain(leaves: readonly PlacedLeaf[], words: WordBounds, slots: Slots): LeafValue[] {
  return leaves.map(({ fact, operator, value, slot, test }) => {
    const actual = slot === undefined ? undefined : slots[slot];
    return { fact, operator, value, actual, truth: test(actual, value as never, words) };
  });
}
