/** The case library of every rule set: each case holds, and together they name what a coach can meet. */
import { describe, expect, test } from 'vitest';
import { type Case, checkCase } from '../../src/authoring/cases.ts';
import { GOALS, LEVELS } from '../../src/contract/common.ts';
import { leavesOf } from '../../src/engine/conditions.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import { casesOf } from './run.ts';

const sets = await loadAll(new URL('../../rules', import.meta.url).pathname);
const libraries = await Promise.all(
  sets.map(async (ruleSet) => {
    const files = [...(await casesOf(ruleSet))].map(([file, cases]) => ({ file, cases }));
    return { name: `${ruleSet.manifest.name}@${ruleSet.manifest.version}`, ruleSet, files };
  }),
);

describe.each(libraries)('cases of $name', ({ ruleSet, files }) => {
  const all = files.flatMap(({ cases }) => cases);
  const named = (pick: (c: Case) => readonly (string | undefined)[]): ReadonlySet<string | undefined> =>
    new Set(all.flatMap(pick));
  const notNamed = (codes: readonly string[], by: ReadonlySet<string | undefined>): string[] =>
    codes.filter((code) => !by.has(code));

  describe.each(files)('$file', ({ cases }) => {
    test.each(cases)('$id', (c) => {
      expect(checkCase(c, ruleSet)).toEqual([]);
    });
  });

  test('no id stands twice', () => {
    const ids = all.map((c) => c.id);
    expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
  });

  test('every case is marked invented', () => {
    expect(all.filter((c) => c.invented !== true).map((c) => c.id)).toEqual([]);
  });

  test('every cause that can be listed is expected somewhere', () => {
    const expected = named(({ expect: e }) => [
      ...[...(e.likely ?? []), ...(e.possible ?? []), ...(e.anyOf ?? [])].map((r) => r.code),
      ...(e.focus ?? []),
      e.firstCause,
    ]);
    const listed = ruleSet.parts.causes.filter((c) => c.role !== 'mechanism').map((c) => c.code);
    expect(notNamed(listed, expected)).toEqual([]);
  });

  test('every mechanism is expected somewhere', () => {
    const expected = named(({ expect: e }) =>
      [...(e.mechanisms ?? []), ...(e.anyOf ?? [])].map((r) => r.code),
    );
    const mechanisms = ruleSet.parts.causes.filter((c) => c.role === 'mechanism').map((c) => c.code);
    expect(notNamed(mechanisms, expected)).toEqual([]);
  });

  test('every caution is expected somewhere', () => {
    const codes = ruleSet.parts.cautions.map((c) => c.code);
    expect(
      notNamed(
        codes,
        named(({ expect: e }) => e.cautions ?? []),
      ),
    ).toEqual([]);
  });

  test('every principle that a rule applies is expected somewhere', () => {
    const applied = new Set(ruleSet.parts['principle-rules'].map((r) => r.event.params.principle));
    const expected = named(({ expect: e }) => e.principles ?? []);
    expect(notNamed([...applied], expected)).toEqual([]);
  });

  test('every rule of plans is expected somewhere', () => {
    const rules = ruleSet.parts['plan-rules'].map((r) => r.id);
    expect(
      notNamed(
        rules,
        named(({ expect: e }) => e.planRules ?? []),
      ),
    ).toEqual([]);
  });

  test('every health sign, condition and painful site that a rule asks for occurs', () => {
    const { parts } = ruleSet;
    const asked = [...parts['gate-rules'], ...parts['caution-rules'], ...parts['drill-exclusions']]
      .flatMap((rule) => leavesOf(rule.conditions).map((leaf) => leaf.fact))
      .flatMap((fact) => /^(?:sign|condition|pain):(.+)$/.exec(fact)?.[1] ?? []);
    const reported = named(({ request: { health } }) => [
      ...(health?.signs ?? []),
      ...(health?.conditions ?? []),
      ...(health?.pain ?? []).map((p) => p.site),
    ]);
    expect(asked.length).toBeGreaterThan(0);
    expect(notNamed([...new Set(asked)], reported)).toEqual([]);
  });

  test('every level and goal occurs', () => {
    expect(
      notNamed(
        LEVELS,
        named((c) => [c.request.swimmer.level]),
      ),
    ).toEqual([]);
    expect(
      notNamed(
        GOALS,
        named((c) => [c.request.swimmer.goal]),
      ),
    ).toEqual([]);
  });
});
