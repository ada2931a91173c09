/** Every code that one part names must stand in the part that it means; and what follows from the codes together. */
import { LEVELS } from '../../contract/common.ts';
import type { Parts } from '../parts.ts';
import { nearest } from '../vocabulary.ts';
import { each, type Report } from './report.ts';

type Known = ReadonlySet<string>;

export function checkReferences(parts: Parts, report: Report): void {
  const codes = (
    file: 'observations' | 'findings' | 'causes' | 'drills' | 'cautions' | 'principles',
  ): Known => new Set(parts[file].map((e) => e.code));
  const findings = codes('findings');
  const causes = codes('causes');
  const drills = codes('drills');
  const cautions = codes('cautions');
  const principles = codes('principles');
  const observations = codes('observations');
  const bodyParts: Known = new Set(parts.lists.bodyParts);
  const equipment: Known = new Set(parts.lists.equipment);
  const need = (
    known: Known,
    what: string,
    value: string,
    file: string,
    path: readonly PropertyKey[],
  ): void => {
    if (!known.has(value))
      report('unknown-code', file, path, `"${value}" is not a known ${what}`, {
        value,
        suggestions: nearest(value, known),
      });
  };
  const { words } = parts.constants;
  const word = (
    list: Record<string, number>,
    value: string,
    file: string,
    path: readonly PropertyKey[],
  ): void => {
    if (!Object.hasOwn(list, value))
      report(
        'unknown-word',
        file,
        path,
        `"${value}" is not one of the words ${Object.keys(list).join(', ')}`,
        {
          value,
          suggestions: nearest(value, Object.keys(list)),
        },
      );
  };
  const params = ['event', 'params'];

  each(parts['quality-flags'], (f, i) => {
    each(f.caps, (c, k) => {
      each(c.findings, (code, n) =>
        need(findings, 'finding', code, 'quality-flags', [i, 'caps', k, 'findings', n]),
      );
    });
  });
  each(parts.findings, (f, i) => word(words.background, f.background, 'findings', [i, 'background']));
  each(parts.reports, (r, i) => {
    if (!r.event.params.finding.startsWith('$'))
      need(findings, 'finding', r.event.params.finding, 'reports', [i, ...params, 'finding']);
  });
  each(parts.causes, (c, i) => {
    if (c.role === 'mechanism' ? c.background === undefined : c.prior === undefined) {
      report(
        'unknown-word',
        'causes',
        [i],
        c.role === 'mechanism' ? 'a mechanism needs a background word' : 'a cause needs prior words',
      );
    }
    if (c.background !== undefined) word(words.background, c.background, 'causes', [i, 'background']);
    for (const [level, w] of Object.entries(c.prior ?? {}))
      word(words.prior, w, 'causes', [i, 'prior', level]);
    if (!Object.hasOwn(parts.constants.focus.ease, c.timeBand))
      report('unknown-word', 'causes', [i, 'timeBand'], `"${c.timeBand}" has no ease in the constants`);
  });
  const background = new Map(parts.findings.map((f) => [f.code, words.background[f.background] ?? 0]));
  each(parts.links, (l, i) => {
    const { cause, finding, shows } = l.event.params;
    need(causes, 'cause', cause, 'links', [i, ...params, 'cause']);
    need(findings, 'finding', finding, 'links', [i, ...params, 'finding']);
    word(words.shows, shows, 'links', [i, ...params, 'shows']);
    if ((words.shows[shows] ?? 1) <= (background.get(finding) ?? 0)) {
      report(
        'strength-beyond-background',
        'links',
        [i, ...params, 'shows'],
        `"${shows}" is no more than the background of "${finding}": seeing it would speak against the cause`,
      );
    }
  });
  each(parts.drivers, (d, i) => {
    need(causes, 'cause', d.driver, 'drivers', [i, 'driver']);
    need(causes, 'cause', d.driven, 'drivers', [i, 'driven']);
    word(words.shows, d.shows, 'drivers', [i, 'shows']);
    const driven = parts.causes.find((c) => c.code === d.driven);
    if (d.infer && driven !== undefined && driven.role !== 'mechanism') {
      report(
        'driver-of-no-mechanism',
        'drivers',
        [i, 'infer'],
        `only a driver of a mechanism counts in the network; "${d.driven}" is a ${driven.role} cause`,
      );
    }
  });
  each(parts.modifiers, (m, i) => {
    need(causes, 'cause', m.event.params.cause, 'modifiers', [i, ...params, 'cause']);
    word(words.strength, m.event.params.strength, 'modifiers', [i, ...params, 'strength']);
  });
  each(parts.deductions, (d, i) => {
    need(findings, 'finding', d.event.params.finding, 'deductions', [i, ...params, 'finding']);
    each(d.event.params.replaces, (code, k) =>
      need(findings, 'finding', code, 'deductions', [i, ...params, 'replaces', k]),
    );
  });
  each(parts['principle-rules'], (r, i) => {
    const e = r.event.params;
    need(principles, 'principle', e.principle, 'principle-rules', [i, ...params, 'principle']);
    if ('select' in e)
      each(e.select.causes, (c, k) =>
        need(causes, 'cause', c, 'principle-rules', [i, ...params, 'select', 'causes', k]),
      );
    if ('select' in e)
      each(e.select.causesOtherThan, (c, k) => {
        need(causes, 'cause', c, 'principle-rules', [i, ...params, 'select', 'causesOtherThan', k]);
      });
    if (e.effect === 'ask')
      need(observations, 'observation', e.look, 'principle-rules', [i, ...params, 'look']);
    if (e.effect === 'driver-first') {
      word(words.shows, e.strongShows, 'principle-rules', [i, ...params, 'strongShows']);
      word(words.shows, e.weakShows, 'principle-rules', [i, ...params, 'weakShows']);
    }
  });
  each(parts.drills, (d, i) => {
    each(d.targets, (t, k) => need(causes, 'cause', t.cause, 'drills', [i, 'targets', k, 'cause']));
    each(d.avoid, (t, k) => need(causes, 'cause', t.cause, 'drills', [i, 'avoid', k, 'cause']));
    each(d.prerequisites, (c, k) => need(drills, 'drill', c, 'drills', [i, 'prerequisites', k]));
    each(d.cautions, (c, k) => need(cautions, 'caution', c, 'drills', [i, 'cautions', k]));
    each(d.loads, (b, k) => need(bodyParts, 'body part', b, 'drills', [i, 'loads', k]));
    each(d.needsAnyOf, (e, k) => need(equipment, 'piece of equipment', e, 'drills', [i, 'needsAnyOf', k]));
    for (const step of ['progression', 'regression'] as const) {
      if (d[step] !== undefined) need(drills, 'drill', d[step], 'drills', [i, step]);
    }
  });
  each(parts.sessions, (s, i) => {
    each(s.blocks, (b, k) => {
      each(b.drills, (c, n) => need(drills, 'drill', c, 'sessions', [i, 'blocks', k, 'drills', n]));
    });
  });
  for (const level of LEVELS) {
    // an assessment takes its session from a template of the swimmer's level
    if (!parts.sessions.some((s) => s.level === level))
      report('no-session', 'sessions', [], `there is no session template for the level "${level}"`);
  }
  const measurements: Known = new Set(parts.measurements.map((m) => m.code));
  each(parts['change-limits'], (l, i) => {
    need(measurements, 'measurement', l.code, 'change-limits', [i, 'code']);
  });
  each(parts['drill-exclusions'], (x, i) => {
    const { drill } = x.event.params;
    // a template names its drill by a variable
    if (!drill.startsWith('$')) need(drills, 'drill', drill, 'drill-exclusions', [i, ...params, 'drill']);
  });
  each(parts['gate-rules'], (g, i) => {
    need(cautions, 'caution', g.event.params.caution, 'gate-rules', [i, ...params, 'caution']);
    each(g.event.params.restricts, (b, k) =>
      need(bodyParts, 'body part', b, 'gate-rules', [i, ...params, 'restricts', k]),
    );
  });
  each(parts['plan-rules'], (r, i) => {
    const e = r.event.params;
    if (e.effect === 'caution') need(cautions, 'caution', e.caution, 'plan-rules', [i, ...params, 'caution']);
  });
  each(parts['caution-rules'], (c, i) =>
    need(cautions, 'caution', c.event.params.caution, 'caution-rules', [i, ...params, 'caution']),
  );
}
