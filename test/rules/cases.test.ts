/** The case library of every rule set: each case holds, and together they name what a coach can meet. */
import { describe, expect, test } from 'vitest';
import { type Case, checkCase } from '../../src/authoring/cases.ts';
import { GOALS, LEVELS } from '../../src/contract/common.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import { casesOf } from './run.ts';

const sets = await loadAll(new URL('../../rules', import.meta.url).pathname);
const files = await Promise.all(sets.map(async (ruleSet) => ({ ruleSet, cases: await casesOf(ruleSet) })));

describe.each(files)('cases of $ruleSet.manifest.name', ({ ruleSet, cases }) => {
  const all = [...cases.values()].flat();
  const named = (pick: (c: Case) => readonly (string | undefined)[]): ReadonlySet<string | undefined> =>
    new Set(all.flatMap(pick));

  test.each([...cases])('%s', async (_, list) => {
    const faults = await Promise.all(
      list.map(async (c) => (await checkCase(c, ruleSet)).map((fault) => `${c.id}: ${fault}`)),
    );
    expect(faults.flat()).toEqual([]);
  });

  test('no id stands twice', () => {
    expect(all.map((c) => c.id)).toHaveLength(new Set(all.map((c) => c.id)).size);
  });

  test('every root cause is expected somewhere', () => {
    const expected = named(({ expect: e }) => [
      ...[...(e.likely ?? []), ...(e.possible ?? []), ...(e.anyOf ?? [])].map((r) => r.code),
      ...(e.focus ?? []),
      e.firstCause,
    ]);
    const roots = ruleSet.parts.causes.filter((c) => c.role === 'root').map((c) => c.code);
    expect(roots.filter((code) => !expected.has(code))).toEqual([]);
  });

  test('every caution that a rule raises is expected somewhere', () => {
    const expected = named(({ expect: e }) => e.cautions ?? []);
    const raised = [...ruleSet.parts['gate-rules'], ...ruleSet.parts['caution-rules']].map(
      (r) => r.event.params.caution,
    );
    expect([...new Set(raised)].filter((code) => !expected.has(code))).toEqual([]);
  });

  test('every principle that a rule applies is expected somewhere', () => {
    const expected = named(({ expect: e }) => e.principles ?? []);
    const applied = ruleSet.parts['principle-rules'].map((r) => r.event.params.principle);
    expect([...new Set(applied)].filter((code) => !expected.has(code))).toEqual([]);
  });

  test('every level and goal occurs', () => {
    const levels = named((c) => [c.request.swimmer.level]);
    const goals = named((c) => [c.request.swimmer.goal]);
    expect(LEVELS.filter((level) => !levels.has(level))).toEqual([]);
    expect(GOALS.filter((goal) => !goals.has(goal))).toEqual([]);
  });
});
