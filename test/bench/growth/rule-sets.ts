/**
 * Rule sets of any number of causes: the shipped causes with their findings, links and clues, again and again under new
 * names, as many as are asked for.
 */
import type { Parts } from '../../../src/knowledge/parts.ts';
import { compileRuleSet, type RuleSet } from '../../../src/knowledge/rule-set.ts';

type List = 'observations' | 'findings' | 'reports' | 'causes' | 'links' | 'drivers' | 'modifiers';
const LISTS: readonly List[] = [
  'observations',
  'findings',
  'reports',
  'causes',
  'links',
  'drivers',
  'modifiers',
];

/** The lists with every code of theirs renamed; facts keep their prefix and side. */
function copyOf(parts: Parts, copy: number): Pick<Parts, List> {
  if (copy === 0) return parts;
  const own = new Set([...parts.observations, ...parts.findings, ...parts.causes].map((entry) => entry.code));
  const renamed = (value: string): string => {
    const [, prefix = '', code = '', side = ''] =
      /^((?:finding|cause|focus):)?([^@]*)(@.*)?$/.exec(value) ?? [];
    return own.has(code) ? `${prefix}${code}-copy-${copy}${side}` : value;
  };
  const fresh = <K extends List>(list: K): Parts[K] =>
    JSON.parse(JSON.stringify(parts[list]), (key, value: unknown) => {
      if (typeof value !== 'string') return value;
      return key === 'id' ? `${value}-copy-${copy}` : renamed(value);
    }) as Parts[K];
  return Object.fromEntries(LISTS.map((list) => [list, fresh(list)])) as Pick<Parts, List>;
}

/** @returns the shipped rule set cut down or multiplied to this number of causes and mechanisms. */
export function ruleSetOf(shipped: RuleSet, causes: number): RuleSet {
  const { parts } = shipped;
  const copies = Array.from({ length: Math.ceil(causes / parts.causes.length) }, (_, copy) =>
    copyOf(parts, copy),
  );
  const all = <K extends List>(list: K): Parts[K] => copies.flatMap((c) => c[list] as unknown[]) as Parts[K];
  const kept = all('causes').slice(0, causes);
  const codes = new Set(kept.map((c) => c.code));
  const links = all('links').filter((l) => codes.has(l.event.params.cause));
  const shown = new Set(links.map((l) => l.event.params.finding));
  // a template reports on every observation, so one copy of it is enough
  const reports = [
    ...parts.reports.filter((r) => r.forEach !== undefined),
    ...all('reports').filter((r) => r.forEach === undefined && shown.has(r.event.params.finding)),
  ];
  const named = JSON.stringify(reports);
  return compileRuleSet(
    shipped.manifest,
    {
      ...parts,
      causes: kept,
      links,
      reports,
      findings: all('findings').filter((f) => shown.has(f.code)),
      observations: all('observations').filter((o) => shown.has(o.code) || named.includes(`"${o.code}"`)),
      drivers: all('drivers').filter((d) => codes.has(d.driver) && codes.has(d.driven)),
      modifiers: all('modifiers').filter((m) => codes.has(m.event.params.cause)),
      deductions: parts.deductions.filter((d) => shown.has(d.event.params.finding)),
    },
    shipped.texts,
  );
}
