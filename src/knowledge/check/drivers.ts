/** What drives what: real bodies have loops; the data keeps only the direction that is easier to change. */
import type { Parts } from '../parts.ts';
import type { Report } from './report.ts';

export function checkDriverLoops(parts: Parts, report: Report): void {
  const next = new Map<string, string[]>();
  for (const d of parts.drivers) next.set(d.driver, [...(next.get(d.driver) ?? []), d.driven]);
  const done = new Set<string>();
  const visit = (code: string, path: readonly string[]): void => {
    if (path.includes(code)) {
      const i = parts.drivers.findIndex((d) => d.driver === path.at(-1) && d.driven === code);
      const circle = [...path.slice(path.indexOf(code)), code];
      report('driver-loop', 'drivers', [i], `drivers run in a circle: ${circle.join(' drives ')}`);
      return;
    }
    if (done.has(code)) return;
    for (const driven of next.get(code) ?? []) visit(driven, [...path, code]);
    done.add(code);
  };
  for (const code of [...next.keys()].sort()) visit(code, []);
}
