/** Every lint rule over one rule set; what an author allows is left out, and an allowance that nothing needs is told. */
import type { Parts } from '../../knowledge/parts.ts';
import { tasks } from './breath-holding.ts';
import { LINTS, type LintId } from './catalogue.ts';
import { aims, contraindications } from './drills.ts';
import { duplicates } from './duplicates.ts';
import type { Linted, LintFinding, LintRule } from './finding.ts';
import { clues, drivers, strengths, unheard } from './network.ts';
import { cases } from './provenance.ts';
import { opposites, reach } from './reach.ts';
import { tables } from './tables.ts';

const RULES: readonly LintRule[] = [
  reach,
  opposites,
  duplicates,
  tables,
  strengths,
  drivers,
  clues,
  unheard,
  aims,
  contraindications,
  tasks,
  cases,
];

interface Allowance {
  readonly part: string;
  readonly entry: string;
  readonly place: number;
  readonly lint: string;
  readonly about?: string | undefined;
}

function allowances(parts: Parts): Allowance[] {
  return Object.entries(parts).flatMap(([part, entries]) =>
    !Array.isArray(entries)
      ? []
      : (entries as { id?: string; code?: string; allow?: readonly Omit<Allowance, 'part'>[] }[]).flatMap(
          (e) =>
            (e.allow ?? []).map(({ lint, about }, place) => ({
              part,
              entry: e.id ?? e.code ?? '',
              place,
              lint,
              about,
            })),
        ),
  );
}

const covers = (a: Allowance, f: LintFinding): boolean =>
  a.part === f.part &&
  a.entry === f.entry &&
  a.lint === f.lint &&
  (a.about === undefined || a.about === f.about);

/** Lints that only run where cases were run: without them nothing can be said of an allowance either. */
const NEEDS_CASES: readonly LintId[] = ['no-case'];

function unused({ part, entry, place, lint, about }: Allowance): LintFinding {
  const known = Object.hasOwn(LINTS, lint);
  const what = about === undefined ? `"${lint}"` : `"${lint}" about "${about}"`;
  return {
    lint: 'unused-allow',
    part,
    entry,
    path: ['allow', place],
    about: lint,
    message: known ? `nothing here needs the allowance of ${what}` : `there is no lint "${lint}" to allow`,
    suggestion: 'Remove the allowance.',
  };
}

/** @returns findings in a fixed order: by lint family, then as the entries stand. */
export function lint(linted: Linted): LintFinding[] {
  const found = RULES.flatMap((rule) => rule(linted));
  const allowed = allowances(linted.ruleSet.parts);
  const told = found.filter((f) => !allowed.some((a) => covers(a, f)));
  const idle = allowed.filter(
    (a) =>
      !found.some((f) => covers(a, f)) &&
      (linted.counted !== undefined || !(NEEDS_CASES as readonly string[]).includes(a.lint)),
  );
  return [...told, ...idle.map(unused)];
}
