/** Timing in turns, the shape of a table, and how it is printed. */

/** A figure that has to be reached. */
export interface Check {
  readonly what: string;
  readonly value: number;
  readonly atMost?: number;
  readonly atLeast?: number;
}

export interface Table {
  readonly title: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly notes?: readonly string[];
  readonly checks: readonly Check[];
  /** The numbers behind it, for result.json. */
  readonly data: unknown;
}

export interface Timing {
  /** Of all runs, in milliseconds. */
  readonly p50: number;
  readonly p99: number;
  /** Median of each turn. */
  readonly turns: readonly number[];
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] as number;
}
export const median = (values: readonly number[]): number => quantile(values, 0.5);

export interface Competitor {
  /** Runs in each turn. */
  readonly runs: number;
  readonly work: (i: number) => unknown;
}

/**
 * Times competitors turn by turn, each run by itself: a busy machine then slows all of them alike. The first turn warms
 * up and is not counted.
 */
export async function inTurns<Name extends string>(
  competitors: { readonly [N in Name]: Competitor },
  turns: number,
): Promise<{ readonly [N in Name]: Timing }> {
  const names = Object.keys(competitors) as Name[];
  const times = new Map(names.map((name) => [name, [] as number[][]]));
  for (let turn = 0; turn <= turns; turn++) {
    for (const name of names) {
      const { runs, work } = competitors[name];
      const own: number[] = [];
      for (let run = 0; run < runs; run++) {
        const from = performance.now();
        await work(turn * runs + run);
        own.push(performance.now() - from);
      }
      if (turn > 0) times.get(name)?.push(own);
    }
  }
  const timings = names.map((name) => {
    const own = times.get(name) as number[][];
    const timing: Timing = {
      p50: median(own.flat()),
      p99: quantile(own.flat(), 0.99),
      turns: own.map(median),
    };
    return [name, timing] as const;
  });
  return Object.fromEntries(timings) as { readonly [N in Name]: Timing };
}

/** How many times as long as the other, turn by turn: the median of the turns. */
export function ratio(a: Timing, b: Timing): number {
  return median(a.turns.map((own, turn) => own / (b.turns[turn] as number)));
}

/** Exponent of growth: the slope of time over size, both in logarithms, by least squares. */
export function exponent(points: readonly (readonly [size: number, time: number])[]): number {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)] as const);
  const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
  const [mx, my] = [mean(logs.map(([x]) => x)), mean(logs.map(([, y]) => y))];
  const along = logs.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0);
  return along / logs.reduce((sum, [x]) => sum + (x - mx) ** 2, 0);
}

export const holds = ({ value, atMost = Infinity, atLeast = -Infinity }: Check): boolean =>
  value <= atMost && value >= atLeast;

export const ms = (milliseconds: number): string => `${milliseconds.toFixed(milliseconds < 10 ? 3 : 1)} ms`;
export const times = (factor: number): string => `${factor.toFixed(factor < 10 ? 2 : 0)} ×`;
export const kB = (bytes: number): string => `${(bytes / 1000).toFixed(bytes < 10_000 ? 1 : 0)} kB`;

/** @returns the lines of a table, in columns. */
export function written(table: Table): string[] {
  const lines = [table.head, ...table.rows];
  const widths = table.head.map((_, k) => Math.max(...lines.map((line) => line[k]?.length ?? 0)));
  const row = (cells: readonly string[]): string =>
    cells
      .map((cell, k) => (k === 0 ? cell.padEnd(widths[k] as number) : cell.padStart(widths[k] as number)))
      .join('   ')
      .trimEnd();
  const verdicts = table.checks.map((check) => {
    const limit = check.atMost === undefined ? `at least ${check.atLeast}` : `at most ${check.atMost}`;
    return `${holds(check) ? 'ok  ' : 'FAIL'} ${check.what}: ${Number(check.value.toPrecision(3))} (${limit})`;
  });
  return [
    table.title,
    '-'.repeat(table.title.length),
    ...lines.map(row),
    ...(table.notes ?? []),
    ...verdicts,
  ];
}
