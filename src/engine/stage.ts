/**
 * The adapter around json-rules-engine: one stage of the pipeline is one engine.
 *
 * Rules are json-rules-engine rules and its Engine runs them. Three things differ from plain use, each for a
 * reason that was measured or reproduced:
 *  - `evaluate` of a rule is compiled (the library resolves each fact through promises and clones every rule
 *    on every run);
 *  - only rules whose conditions hold are handed to the Engine, so that a run costs what fires;
 *  - every run gets a view of the engine with its own status, because the library keeps the status of a run
 *    on the shared engine and overlapping runs would lose results. The view relies on two fields of version
 *    7.3.1, which is pinned; test/engine/library.test.ts fails when they change.
 */
import {
  Almanac,
  Engine,
  type EngineResult,
  Rule,
  type RuleResult,
  type TopLevelCondition,
} from 'json-rules-engine';
import {
  compile,
  explain,
  type FactTable,
  type Group,
  guardsOf,
  type LeafValue,
  leavesOf,
  placeLeaves,
  type Test,
} from './conditions.ts';
import type { Slots } from './facts.ts';
import type { Truth, WordBounds } from './operators.ts';

/** A rule after its templates and arms were written out. `side` is the arm it was written out for. */
export interface RuleInstance<Params> {
  readonly id: string;
  readonly side: 'body' | 'left' | 'right';
  readonly conditions: Group;
  readonly event: { readonly type: string; readonly params: Params };
}

export interface Fired<Params> {
  readonly rule: RuleInstance<Params>;
  /** Place of the rule in its stage. */
  readonly place: number;
  readonly params: Params;
  /** Leaves of the conditions with the values they met. */
  readonly leaves: () => LeafValue[];
}

export interface RuleTruth<Params> {
  readonly rule: RuleInstance<Params>;
  readonly truth: Truth;
  readonly leaves: () => LeafValue[];
}

export interface Stage<Params> {
  readonly name: string;
  /** In the order of the rule file. A rule is known by its place here. */
  readonly rules: readonly RuleInstance<Params>[];
  /** Runs the stage on the Engine. Fired rules come in the order of the rule file. */
  run(slots: Slots): Promise<Fired<Params>[]>;
  /** The same selection without the Engine, for the many "what if" runs of the next look; `among`: these rules only. */
  select(slots: Slots, among?: readonly number[]): Fired<Params>[];
  /** Rules that ask for one of these facts, given by slot: when nothing else changes, no other rule can. */
  readersOf(slots: Iterable<number>): number[];
  /** Every rule with its truth, for the full trail. */
  truths(slots: Slots): RuleTruth<Params>[];
}

/** Conditions never use `path`: a path may evaluate expressions. This resolver makes sure of it. */
export function refusePath(): never {
  throw new Error('conditions may not use "path"');
}

class SlotAlmanac extends Almanac {
  readonly slots: Slots;
  constructor(slots: Slots) {
    super({ allowUndefinedFacts: true, pathResolver: refusePath });
    this.slots = slots;
  }
}

class CompiledRule extends Rule {
  readonly index: number;
  readonly test: Test;
  constructor(index: number, instance: RuleInstance<unknown>, test: Test) {
    super({
      name: `${instance.id}@${instance.side}`,
      conditions: structuredClone(instance.conditions) as unknown as TopLevelCondition,
      // a fixed type: the library gives 'error' and 'success' a meaning of its own
      event: { type: 'fired', params: { index } },
    });
    this.index = index;
    this.test = test;
  }

  /** Called by the Engine in place of the library's own evaluation. */
  evaluate(almanac: SlotAlmanac): Promise<RuleResult> {
    const result = this.test(almanac.slots) === true;
    return Promise.resolve({
      name: this.name,
      result,
      event: { type: 'fired', params: { index: this.index } },
    } as unknown as RuleResult);
  }
}

interface EngineView {
  status: string;
  prioritizedRules: Rule[][];
  emitAsync: () => Promise<unknown>;
  run(facts: object, options: { almanac: Almanac }): Promise<EngineResult>;
}

const NOBODY_LISTENS: Promise<unknown> = Promise.resolve();

function runView(engine: Engine, rules: Rule[], almanac: Almanac): Promise<EngineResult> {
  const view = Object.create(engine) as EngineView;
  view.status = 'READY';
  view.prioritizedRules = [rules];
  view.emitAsync = () => NOBODY_LISTENS;
  return view.run(Object.create(null) as object, { almanac });
}

/**
 * Compiles the rules of one stage.
 *
 * @param rules written-out rules with checked operators; ids are unique per side.
 * @param table fact slots, shared by all stages of a rule set.
 */
export function createStage<Params>(
  name: string,
  rules: readonly RuleInstance<Params>[],
  table: FactTable,
  words: WordBounds,
): Stage<Params> {
  const tests = rules.map((rule) => compile(rule.conditions, table, words));
  const guards = rules.map((rule) => guardsOf(rule.conditions, table));
  // most rules have one guard: a flat list of those is the quickest to look through
  const guard = Int32Array.from(guards, (slots) => (slots?.length === 1 ? (slots[0] as number) : -1));
  const readers = new Map<number, number[]>();
  rules.forEach((rule, index) => {
    for (const slot of new Set(leavesOf(rule.conditions).map((leaf) => table.slotOf(leaf.fact)))) {
      const list = readers.get(slot);
      if (list === undefined) readers.set(slot, [index]);
      else list.push(index);
    }
  });
  const compiled = rules.map((rule, index) => new CompiledRule(index, rule, tests[index] as Test));
  const engine = new Engine([], { allowUndefinedFacts: true, pathResolver: refusePath });
  for (const rule of compiled) engine.addRule(rule);

  const leaves = rules.map((rule) => placeLeaves(rule.conditions, table));
  const leavesOn = (index: number, slots: Slots) => () =>
    explain(leaves[index] as (typeof leaves)[number], words, slots);
  const fired = (index: number, slots: Slots): Fired<Params> => {
    const rule = rules[index] as RuleInstance<Params>;
    return { rule, place: index, params: rule.event.params, leaves: leavesOn(index, slots) };
  };
  const canHold = (index: number, slots: Slots): boolean => {
    const only = guard[index] as number;
    if (only >= 0) return slots[only] !== undefined;
    return guards[index]?.some((slot) => slots[slot] !== undefined) ?? true;
  };
  const everyRule = rules.map((_, index) => index);
  const holding = (slots: Slots, among: readonly number[] = everyRule): number[] => {
    const indices: number[] = [];
    for (const i of among) if (canHold(i, slots) && (tests[i] as Test)(slots) === true) indices.push(i);
    return indices;
  };

  return {
    name,
    rules,
    async run(slots) {
      const candidates = holding(slots).map((i) => compiled[i] as CompiledRule);
      if (candidates.length === 0) return [];
      const { results } = await runView(engine, candidates, new SlotAlmanac(slots));
      // the library answers in completion order; the file order is the one that means something
      return results
        .map(({ event }) => (event as unknown as { params: { index: number } }).params.index)
        .sort((a, b) => a - b)
        .map((index) => fired(index, slots));
    },
    select: (slots, among) => holding(slots, among).map((index) => fired(index, slots)),
    readersOf: (slots) => {
      const asking = new Set<number>();
      for (const slot of slots) for (const index of readers.get(slot) ?? []) asking.add(index);
      return [...asking].sort((a, b) => a - b);
    },
    truths: (slots) =>
      rules.map((rule, index) => ({
        rule,
        truth: (tests[index] as Test)(slots),
        leaves: leavesOn(index, slots),
      })),
  };
}
