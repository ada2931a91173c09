/**
 * Rule stage: every rule of the shipped set, on everything that is known at the end of an assessment. The service against
 * the library that it is built on, and against engines that one would pick instead; all fire the same rules.
 */
import assert from 'node:assert/strict';
import { examine } from '../../../src/assess/assess.ts';
import { runFlowNow } from '../../../src/assess/pipeline.ts';
import type { Slots } from '../../../src/engine/facts.ts';
import type { Stage } from '../../../src/engine/stage.ts';
import { inTurns, ms, ratio, type Table, times } from '../harness.ts';
import { flatFacts, flatRules, ruleName } from '../peers/flat.ts';
import { jsonLogic } from '../peers/json-logic.ts';
import { factsByName, plainEngine } from '../peers/library.ts';
import { zen } from '../peers/zen.ts';
import { requests, ruleSet } from '../subject.ts';

const stages = Object.values(ruleSet.stages) as Stage<unknown>[];
const rules = stages.flatMap((stage) => stage.rules);

/** Facts of every record that does not stop at the health gate. */
const known: readonly Slots[] = requests.flatMap((request) => {
  const { study } = runFlowNow(examine(request, ruleSet));
  return study.status === 'stop' ? [] : [study.slots];
});

async function service(slots: Slots): Promise<string[]> {
  const names: string[] = [];
  for (const stage of stages) {
    for (const { rule } of await stage.run(slots)) names.push(ruleName(rule));
  }
  return names;
}

export async function ruleStage(): Promise<Table> {
  const flat = flatRules(rules, ruleSet);
  const flats = known.map((slots) => flatFacts(slots, ruleSet));
  const named = known.map((slots) => factsByName(slots, ruleSet));
  const engines = { library: plainEngine(rules, ruleSet), logic: jsonLogic(flat), zen: zen(flat) };
  const at = <T>(list: readonly T[], i: number): T => list[i % list.length] as T;

  let fired = 0;
  for (let i = 0; i < known.length; i++) {
    const own = (await service(at(known, i))).sort();
    fired += own.length;
    assert.deepEqual((await engines.library(at(named, i))).sort(), own, `json-rules-engine, record ${i}`);
    assert.deepEqual(engines.logic(at(flats, i)).sort(), own, `json-logic-engine, record ${i}`);
    assert.deepEqual((await engines.zen(at(flats, i))).sort(), own, `zen-engine, record ${i}`);
  }
  const t = await inTurns(
    {
      service: { runs: 200, work: (i) => service(at(known, i)) },
      selection: { runs: 200, work: (i) => stages.map((stage) => stage.select(at(known, i))) },
      library: { runs: 10, work: (i) => engines.library(at(named, i)) },
      logic: { runs: 100, work: (i) => engines.logic(at(flats, i)) },
      zen: { runs: 50, work: (i) => engines.zen(at(flats, i)) },
    },
    15,
  );
  const slower = {
    library: ratio(t.library, t.service),
    logic: ratio(t.logic, t.service),
    zen: ratio(t.zen, t.service),
  };
  const row = (name: string, timing: (typeof t)['service'], by: number): string[] => [
    name,
    ms(timing.p50),
    ms(timing.p99),
    times(by),
  ];
  return {
    title: `Rule stage: ${rules.length} rules, ${known.length} records, the same ${(fired / known.length).toFixed(0)} fired rules a record`,
    head: ['', 'p50', 'p99', 'of the service'],
    rows: [
      row('the service: compiled, on json-rules-engine', t.service, 1),
      row('its selection alone, as a "what if" uses it', t.selection, ratio(t.selection, t.service)),
      row('json-rules-engine, its own evaluation', t.library, slower.library),
      row('json-logic-engine, compiled', t.logic, slower.logic),
      row('zen-engine (Rust), one decision table', t.zen, slower.zen),
    ],
    checks: [
      { what: 'records', value: known.length, atLeast: 200 },
      { what: 'times as fast as json-rules-engine', value: slower.library, atLeast: 40 },
      { what: 'times as fast as json-logic-engine', value: slower.logic, atLeast: 1 },
      { what: 'times as fast as zen-engine', value: slower.zen, atLeast: 1 },
    ],
    data: { rules: rules.length, records: known.length, timings: t, slower },
  };
}
