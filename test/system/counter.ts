/** A count that others can wait for. */
export interface Counter {
  readonly value: number;
  add(): void;
  /** Resolves once the count is at least this. */
  reaches(value: number): Promise<void>;
}

export function createCounter(): Counter {
  let value = 0;
  let waiting: { readonly at: number; readonly resolve: () => void }[] = [];
  return {
    get value() {
      return value;
    },
    add() {
      value++;
      for (const { at, resolve } of waiting) if (at <= value) resolve();
      waiting = waiting.filter(({ at }) => at > value);
    },
    async reaches(at) {
      if (value < at) await new Promise<void>((resolve) => waiting.push({ at, resolve }));
    },
  };
}
