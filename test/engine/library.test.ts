/** What the adapter relies on inside json-rules-engine: when one of these fails, read src/engine/stage.ts anew. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Engine, type EngineResult, Rule, type RuleResult, type TopLevelCondition } from 'json-rules-engine';
import { describe, expect, test } from 'vitest';
import { FactTable } from '../../src/engine/conditions.ts';
import { referenceRun } from '../../src/engine/reference.ts';
import { createStage, type RuleInstance, refusePath } from '../../src/engine/stage.ts';

interface Internals {
  status: string;
  prioritizedRules: Rule[][] | null;
  prioritizeRules(): Rule[][];
  run(facts?: object): Promise<EngineResult>;
}
const internals = (engine: Engine): Internals => engine as unknown as Internals;

class Watching extends Rule {
  readonly statuses: string[] = [];
  watched: Internals | undefined;
  evaluate(): Promise<RuleResult> {
    this.statuses.push(this.watched?.status ?? 'nobody');
    return Promise.resolve({
      name: this.name,
      result: true,
      event: { type: 'fired' },
    } as unknown as RuleResult);
  }
}

function watchingRule(name: string, priority = 1): Watching {
  const conditions: TopLevelCondition = { all: [{ fact: 'any', operator: 'equal', value: 1 }] };
  return new Watching({ name, conditions, event: { type: 'fired' }, priority });
}

describe('json-rules-engine', () => {
  test('is version 7.3.1, pinned', () => {
    const installed = createRequire(import.meta.url)('json-rules-engine/package.json') as { version: string };
    expect(installed.version).toBe('7.3.1');
    const own = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
      dependencies: Record<string, string>;
    };
    expect(own.dependencies['json-rules-engine']).toBe('7.3.1');
  });

  test('keeps the state of a run in `status` of the engine', async () => {
    const engine = new Engine();
    const rule = watchingRule('one');
    engine.addRule(rule);
    rule.watched = internals(engine);
    expect(Object.hasOwn(engine, 'status')).toBe(true);
    expect(internals(engine).status).toBe('READY');
    await engine.run();
    expect(rule.statuses).toEqual(['RUNNING']);
    expect(internals(engine).status).toBe('FINISHED');
  });

  test('skips every rule when `status` is not RUNNING: this is how overlapping runs lose results', async () => {
    const engine = new Engine();
    engine.addRule(watchingRule('one'));
    const first = engine.run();
    internals(engine).status = 'FINISHED';
    expect((await first).results).toEqual([]);
  });

  test('keeps its rules by priority in `prioritizedRules`, empty until asked and after each new rule', () => {
    const engine = new Engine();
    const [low, high] = [watchingRule('low', 1), watchingRule('high', 9)];
    engine.addRule(low);
    engine.addRule(high);
    expect(Object.hasOwn(engine, 'prioritizedRules')).toBe(true);
    expect(internals(engine).prioritizedRules).toBeNull();
    const list = internals(engine).prioritizeRules();
    expect(list).toEqual([[high], [low]]);
    expect(internals(engine).prioritizedRules).toBe(list);
    engine.addRule(watchingRule('more'));
    expect(internals(engine).prioritizedRules).toBeNull();
  });

  test('`prioritizeRules` gives back a list that is there, and a run evaluates exactly that list', async () => {
    const engine = new Engine();
    const [one, two] = [watchingRule('one'), watchingRule('two')];
    engine.addRule(one);
    engine.addRule(two);
    const list = [[two]];
    internals(engine).prioritizedRules = list;
    expect(internals(engine).prioritizeRules()).toBe(list);
    const { results } = await engine.run();
    expect(results.map((r) => r.name)).toEqual(['two']);
    expect(one.statuses).toEqual([]);
  });

  test('a view with its own `status` and `prioritizedRules` runs and leaves the engine untouched', async () => {
    const engine = new Engine();
    const [one, two] = [watchingRule('one'), watchingRule('two')];
    engine.addRule(one);
    engine.addRule(two);
    const view = Object.create(engine) as Internals;
    view.status = 'READY';
    view.prioritizedRules = [[two]];
    two.watched = view;
    const { results } = await view.run({});
    expect(results.map((r) => r.name)).toEqual(['two']);
    expect(two.statuses).toEqual(['RUNNING']);
    expect(view.status).toBe('FINISHED');
    expect(internals(engine).status).toBe('READY');
    expect(internals(engine).prioritizedRules).toBeNull();
  });
});

describe('a path in a condition', () => {
  const probe = globalThis as { pathWasEvaluated?: boolean };
  const withPath = (extra: object): RuleInstance<unknown>[] => [
    {
      id: 'path',
      side: 'body',
      conditions: {
        all: [{ fact: 'hips-low', operator: 'isAssessed', value: true, ...extra }],
      },
      event: { type: 'any', params: {} },
    },
  ];
  const EXPRESSION = '$[?(globalThis.pathWasEvaluated = true)]';
  const slots = [{ severity: 1, certainty: 'sure' }] as const;

  test.each([
    ['on the fact', { path: EXPRESSION }],
    ['on the value', { value: { fact: 'hips-low', path: EXPRESSION } }],
  ])('%s is refused by the library as we set it up, and not evaluated', async (_, extra) => {
    const table = new FactTable();
    table.slotOf('hips-low');
    await expect(referenceRun(withPath(extra), table, new Map(), [...slots])).rejects.toThrow(
      'conditions may not use "path"',
    );
    expect(probe.pathWasEvaluated).toBeUndefined();
  });

  test('is not evaluated by a stage', async () => {
    const stage = createStage('path', withPath({ path: EXPRESSION }), new FactTable(), new Map());
    await stage.run([...slots]);
    stage.select([...slots]);
    stage.truths([...slots]).map((t) => t.leaves());
    expect(probe.pathWasEvaluated).toBeUndefined();
  });

  test('would be evaluated by the library alone, so the refusal is needed', async () => {
    const engine = new Engine();
    engine.addOperator('isAssessed', () => true);
    engine.addRule({
      conditions: withPath({ path: '$.severity' })[0]?.conditions as unknown as TopLevelCondition,
      event: { type: 'fired' },
    });
    const seen: unknown[] = [];
    engine.addOperator('isAssessed', (actual) => seen.push(actual) > 0);
    await engine.run({ 'hips-low': slots[0] });
    expect(seen).toEqual([1]);
  });

  test('meets a resolver that only refuses', () => {
    expect(refusePath).toThrow('conditions may not use "path"');
  });
});
