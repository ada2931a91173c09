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
  type Condition,
  compile,
  explain,
  type FactTable,
  type Group,
  type LeafValue,
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
  readonly rules: readonly RuleInstance<Params>[];
  /** Runs the stage on the Engine. Fired rules come in the order of the rule file. */
  run(slots: Slots): Promise<Fired<Params>[]>;
  /** The same selection without the Engine, for the many "what if" runs of the next look. */
  select(slots: Slots): Fired<Params>[];
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
  run(facts: object, options: { almanac: Almanac }): Promise<EngineResult>;
}

function runView(engine: Engine, rules: Rule[], almanac: Almanac): Promise<EngineResult> {
  const view = Object.create(engine) as EngineView;
  view.status = 'READY';
  view.prioritizedRules = [rules];
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
  const compiled = rules.map((rule, index) => new CompiledRule(index, rule, tests[index] as Test));
  const engine = new Engine([], { allowUndefinedFacts: true, pathResolver: refusePath });
  for (const rule of compiled) engine.addRule(rule);

  const leavesOn = (index: number, slots: Slots) => () =>
    explain((rules[index] as RuleInstance<Params>).conditions as Condition, table, words, slots);
  const fired = (index: number, slots: Slots): Fired<Params> => {
    const rule = rules[index] as RuleInstance<Params>;
    return { rule, params: rule.event.params, leaves: leavesOn(index, slots) };
  };
  const holding = (slots: Slots): number[] => {
    const indices: number[] = [];
    for (let i = 0; i < tests.length; i++) if ((tests[i] as Test)(slots) === true) indices.push(i);
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
    select: (slots) => holding(slots).map((index) => fired(index, slots)),
    truths: (slots) =>
      rules.map((rule, index) => ({
        rule,
        truth: (tests[index] as Test)(slots),
        leaves: leavesOn(index, slots),
      })),
  };
}
