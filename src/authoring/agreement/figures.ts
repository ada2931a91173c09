/** Kappas of one observation: is it there, and how marked is it; of each pair of observers and of all together. */
import { mean } from 'simple-statistics';
import type { AgreementFigure, AgreementOfPair } from '../../contract/agreement.ts';
import { fleissKappa, jackknifed } from './fleiss.ts';
import { bySwim, type Item, observersOf } from './items.ts';
import { cohenKappa, type Kappa, linear } from './kappa.ts';

const GRADES = 4;
const isPresent = (severity: number): number => (severity > 0 ? 1 : 0);

function tableOf(items: readonly Item[], [a, b]: readonly [string, string], grades: number): number[][] {
  const table = Array.from({ length: grades }, () => Array.from({ length: grades }, () => 0));
  const grade = grades === GRADES ? (s: number) => s : isPresent;
  for (const { by } of items) {
    const [x, y] = [by.get(a), by.get(b)];
    if (x === undefined || y === undefined) continue;
    const row = table[grade(x)] as number[];
    row[grade(y)] = (row[grade(y)] as number) + 1;
  }
  return table;
}

const figure = (k: Kappa, method: AgreementFigure['method']): AgreementFigure => ({
  kappa: k.kappa,
  agreement: k.agreement,
  interval: k.interval === null ? null : [...k.interval],
  method,
  items: k.items,
});

/** The interval of a figure over swims; one of the formulas would take both arms of a swim for independent. */
function withInterval(
  of: (items: readonly Item[]) => AgreementFigure | null,
  items: readonly Item[],
): AgreementFigure | null {
  const whole = of(items);
  if (whole === null) return null;
  const found = jackknifed(bySwim(items), (some) => of(some)?.kappa ?? null);
  return { ...whole, interval: found === null ? null : [...found.interval] };
}

/** @returns pairs that share an item, in order of their names */
export function pairsOf(items: readonly Item[]): AgreementOfPair[] {
  const observers = observersOf(items);
  return observers.flatMap((a, i) =>
    observers.slice(i + 1).flatMap((b): AgreementOfPair[] => {
      const shared = items.filter((item) => item.by.has(a) && item.by.has(b));
      if (shared.length === 0) return [];
      const table = tableOf(shared, [a, b], GRADES);
      return [
        {
          observers: [a, b],
          present: figure(cohenKappa(tableOf(shared, [a, b], 2)), 'cohen'),
          severity: figure(cohenKappa(table, linear), 'cohen-linear'),
          table,
        },
      ];
    }),
  );
}

function presentOf(items: readonly Item[], observers: readonly string[]): AgreementFigure | null {
  // Fleiss' kappa needs the same number of looks at each item
  const complete = items.filter((i) => observers.every((o) => i.by.has(o)));
  if (complete.length === 0) return null;
  if (observers.length === 2)
    return figure(cohenKappa(tableOf(complete, observers as [string, string], 2)), 'cohen');
  const counts = complete.map(({ by }) => {
    const marked = [...by.values()].filter((s) => s > 0).length;
    return [by.size - marked, marked];
  });
  return figure(fleissKappa(counts), 'fleiss');
}

function severityOf(items: readonly Item[]): AgreementFigure | null {
  const pairs = pairsOf(items);
  if (pairs.length === 0) return null;
  if (pairs.length === 1) return (pairs[0] as AgreementOfPair).severity;
  const kappas = pairs.flatMap((p) => (p.severity.kappa === null ? [] : [p.severity.kappa]));
  return {
    kappa: kappas.length === 0 ? null : mean(kappas),
    agreement: mean(pairs.map((p) => p.severity.agreement)),
    interval: null,
    method: 'mean-of-pairs',
    items: items.length,
  };
}

/** Is it there? Cohen's kappa of two observers; Fleiss' kappa of more, over the items that all of them rated. */
export function presentFigure(items: readonly Item[]): AgreementFigure | null {
  const observers = observersOf(items);
  return withInterval((some) => presentOf(some, observers), items);
}

/** How marked? Linearly weighted kappa of two observers; of more, the mean of the pairs (Light 1971, from memory). */
export function severityFigure(items: readonly Item[]): AgreementFigure | null {
  return withInterval(severityOf, items);
}
