/** Lints of the network of causes: what counts twice, what hardly counts, what nothing speaks for. */
import { authoredLeaves } from '../../knowledge/expand.ts';
import type { Parts } from '../../knowledge/parts.ts';
import { echoOf } from '../echo.ts';
import { baseOf } from '../reason/values.ts';
import type { LintFinding, LintRule } from './finding.ts';

/** A sign that speaks for less than this hardly moves a probability: half of the weakest clue (judgement). */
const FAINT_DB = 1.25;

interface Links {
  /** Link ids by finding and cause. */
  readonly of: (finding: string, cause: string) => string | undefined;
  readonly byFinding: ReadonlyMap<string, readonly { cause: string; id: string }[]>;
}

function linksOf({ links }: Parts): Links {
  const pairs = links.map((l) => ({ ...l.event.params, id: l.id }));
  const byFinding = Map.groupBy(pairs, (p) => p.finding);
  return {
    byFinding,
    of: (finding, cause) => byFinding.get(finding)?.find((p) => p.cause === cause)?.id,
  };
}

/** Two parents of one finding where the one drives the other: through a mechanism it counts twice, else it is its own rival. */
export const drivers: LintRule = ({ ruleSet: { parts, causes } }) => {
  const { byFinding } = linksOf(parts);
  return parts.drivers.flatMap((d) =>
    [...byFinding].flatMap(([finding, parents]): LintFinding[] => {
      const [from, to] = [d.driver, d.driven].map((c) => parents.find((p) => p.cause === c));
      if (from === undefined || to === undefined) return [];
      const diamond = d.infer && causes.get(d.driven)?.role === 'mechanism';
      const base = { part: 'drivers', entry: d.id, path: [], about: finding };
      return [
        diamond
          ? {
              ...base,
              lint: 'diamond',
              message: `"${finding}" reaches "${d.driver}" twice: by the link "${from.id}", and through "${d.driven}", which "${d.driver}" drives and "${to.id}" links to it`,
              suggestion: `Remove the link "${from.id}" and let the mechanism carry it, or say under "allow" why the two ways tell different things.`,
            }
          : {
              ...base,
              lint: 'driver-is-rival',
              message: `"${d.driver}" drives "${d.driven}" and both are linked to "${finding}": there the driver explains away what it leads to`,
              suggestion: `Remove the link "${from.id}" of the driver, or the driver; or say under "allow" why both hold.`,
            },
      ];
    }),
  );
};

/** A clue that asks for nothing but findings which already speak for the cause. */
export const clues: LintRule = ({ ruleSet: { parts } }) => {
  const { of } = linksOf(parts);
  return parts.modifiers.flatMap((m): LintFinding[] => {
    const { cause, role } = m.event.params;
    if (role !== 'clue') return [];
    const findings = authoredLeaves(m.conditions).map(({ leaf }) => ({
      finding: baseOf(leaf.fact).replace(/^finding:/, ''),
      seen: leaf.operator === 'seenAtLeast',
    }));
    if (!findings.every(({ finding, seen }) => seen && of(finding, cause) !== undefined)) return [];
    const names = findings.map(({ finding }) => `"${finding}"`).join(' and ');
    return [
      {
        lint: 'clue-repeats-link',
        part: 'modifiers',
        entry: m.id,
        path: ['conditions'],
        message: `${names} already ${findings.length === 1 ? 'speaks' : 'speak'} for "${cause}" by links, and the clue counts the same again`,
        suggestion:
          'Strengthen the links instead, or say under "allow" what the findings tell together that none tells alone.',
      },
    ];
  });
};

export const strengths: LintRule = ({ ruleSet: { parts, findings } }) =>
  parts.links.flatMap((l): LintFinding[] => {
    const { finding, shows } = l.event.params;
    const background = findings.get(finding)?.background as string;
    const echo = echoOf(shows, background, parts.constants.words);
    if (echo.seenDb >= FAINT_DB) return [];
    return [
      {
        lint: 'faint-strength',
        part: 'links',
        entry: l.id,
        path: ['event', 'params', 'shows'],
        message: `"${shows}" hardly stands out against a background of "${background}". ${echo.text}`,
        suggestion:
          'Take a stronger word, or drop the link: what is nearly as common without the cause tells nothing.',
      },
    ];
  });

/** Causes that no sign can ever raise, and findings that nothing can ever report. */
export const unheard: LintRule = ({ ruleSet: { parts, observations } }) => {
  const spoken = new Set([
    ...parts.links.map((l) => l.event.params.cause),
    ...parts.modifiers.filter((m) => m.event.params.sign === 1).map((m) => m.event.params.cause),
    ...parts.drivers.filter((d) => d.infer).map((d) => d.driven),
  ]);
  const reported = new Set(parts.reports.map((r) => r.event.params.finding));
  const bySight = parts.reports.some((r) => r.forEach?.each === 'observed-finding');
  return [
    ...parts.causes
      .filter((c) => !spoken.has(c.code))
      .map((c) => ({
        lint: 'unheard-cause' as const,
        part: 'causes',
        entry: c.code,
        path: [],
        message: `no link, clue or driver can ever speak for "${c.code}"`,
        suggestion: 'Link a finding to it, or remove it.',
      })),
    ...parts.findings
      .filter((f) => !reported.has(f.code) && !(bySight && observations.has(f.code)))
      .map((f) => ({
        lint: 'unreported-finding' as const,
        part: 'findings',
        entry: f.code,
        path: [],
        message: `no observation or measurement reports on "${f.code}"`,
        suggestion: 'Add an observation of the same name, or a report from a measurement.',
      })),
  ];
};
