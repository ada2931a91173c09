/** Every name stands once, and every pair that means one thing is written once. */
import type { Parts } from '../parts.ts';
import { each, type Report } from './report.ts';

export function checkUnique(parts: Parts, report: Report): void {
  for (const [file, part] of Object.entries(parts)) {
    if (!Array.isArray(part)) continue;
    const seen = new Set<string>();
    each(part as { code?: string; id?: string }[], (entry, i) => {
      const key = entry.code ?? entry.id ?? '';
      const field = entry.code === undefined ? 'id' : 'code';
      if (seen.has(key)) report('duplicate-code', file, [i, field], `"${key}" stands here twice`);
      seen.add(key);
    });
  }
  // observations, measurements and flags share the names of facts
  const owner = new Map<string, string>();
  for (const file of ['observations', 'measurements', 'quality-flags'] as const) {
    each(parts[file] as readonly { code: string }[], (entry, i) => {
      const other = owner.get(entry.code);
      if (other !== undefined && other !== file)
        report('duplicate-code', file, [i, 'code'], `"${entry.code}" is also a code of ${other}`);
      owner.set(entry.code, file);
    });
  }
}

/** A second link of the same pair would count one finding twice. */
export function checkPairs(parts: Parts, report: Report): void {
  const links = new Map<string, string>();
  each(parts.links, (l, i) => {
    const { cause, finding } = l.event.params;
    const key = `${cause} ${finding}`;
    const first = links.get(key);
    if (first !== undefined && first !== l.id)
      report(
        'duplicate-link',
        'links',
        [i, 'event', 'params'],
        `"${finding}" already speaks for "${cause}" in "${first}": one finding counts once for one cause`,
        { suggestions: [first] },
      );
    else links.set(key, l.id);
  });
  const drivers = new Map<string, string>();
  each(parts.drivers, (d, i) => {
    const key = `${d.driver} ${d.driven}`;
    const first = drivers.get(key);
    if (first !== undefined && first !== d.id)
      report('duplicate-link', 'drivers', [i], `"${d.driver}" already drives "${d.driven}" in "${first}"`, {
        suggestions: [first],
      });
    else drivers.set(key, d.id);
  });
}
