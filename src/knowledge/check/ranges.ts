/** Numbers that belong together: bands in their order, words inside their bins, shares that add up. */
import { authoredLeaves } from '../expand.ts';
import type { MeasurementEntry, Parts, ReportParams } from '../parts.ts';
import { each, type Report } from './report.ts';

type Measured = Extract<ReportParams, { kind: 'measured' }>;
type Say = (field: string, message: string) => void;

function checkBands(p: Measured, measurement: MeasurementEntry | undefined, say: Say): void {
  const up = p.direction === 'at-least';
  const beyond = (a: number, b: number): boolean => (up ? a > b : a < b);
  const words = up ? 'rise' : 'fall';
  if (!beyond(p.moderate, p.slight) || !beyond(p.marked, p.moderate))
    say(
      'slight',
      `the grades must ${words} from slight to marked ("${p.direction}"), not ${p.slight}, ${p.moderate}, ${p.marked}`,
    );
  if (p.absentAt !== undefined && beyond(p.absentAt, p.slight))
    say(
      'absentAt',
      `${p.absentAt} is a fault already (slight from ${p.slight}): it cannot also be clearly good`,
    );
  if (measurement === undefined) return;
  const { min, max } = measurement.possible;
  for (const field of ['slight', 'moderate', 'marked', 'absentAt'] as const) {
    const value = p[field];
    if (value !== undefined && (value < min || value > max))
      say(
        field,
        `"${measurement.code}" can be ${min} to ${max} ${measurement.unit}, never ${value}: is it in another unit?`,
      );
  }
}

export function checkRanges(parts: Parts, report: Report): void {
  const { constants } = parts;
  const band = (file: string, path: readonly PropertyKey[], message: string): void =>
    report('impossible-band', file, path, message);

  each(parts.measurements, (m, i) => {
    const { min, max } = m.possible;
    if (min >= max) band('measurements', [i, 'possible'], `no value lies between ${min} and ${max}`);
  });
  const measurements = new Map(parts.measurements.map((m) => [m.code, m]));
  each(parts.reports, (r, i) => {
    const p = r.event.params;
    if (p.kind !== 'measured') return;
    const asked = authoredLeaves(r.conditions).flatMap(
      ({ leaf }) => measurements.get(leaf.fact.split('@')[0] as string) ?? [],
    );
    checkBands(p, asked[0], (field, message) => band('reports', [i, 'event', 'params', field], message));
  });
  each(constants.probabilityWords, (w, i) => {
    const before = constants.probabilityWords[i - 1];
    if (before !== undefined && w.from >= before.from)
      band(
        'constants',
        ['probabilityWords', i, 'from'],
        `must be below that of "${before.word}": the words go down`,
      );
  });
  if (constants.probabilityWords.at(-1)?.from !== 0)
    band(
      'constants',
      ['probabilityWords'],
      'the last word must begin at 0, so that every probability has one',
    );
  for (const kind of ['shows', 'background'] as const) {
    const bins: Readonly<Record<string, readonly [number, number]>> = constants.bins[kind];
    for (const [word, share] of Object.entries(constants.words[kind])) {
      const bin = bins[word];
      if (bin === undefined) band('constants', ['bins', kind], `the word "${word}" has no bin`);
      else if (bin[0] > share || bin[1] < share)
        band('constants', ['bins', kind, word], `${share} does not lie between ${bin[0]} and ${bin[1]}`);
    }
    for (const word of Object.keys(bins))
      if (!Object.hasOwn(constants.words[kind], word))
        band('constants', ['bins', kind, word], `"${word}" is not one of the words`);
  }
  const { weights } = constants.efficiency;
  const sum = weights.catch + weights.pull + weights.push;
  if (Math.abs(sum - 1) > 1e-9)
    band('constants', ['efficiency', 'weights'], `the three phases must add up to 1, not ${sum}`);
}
