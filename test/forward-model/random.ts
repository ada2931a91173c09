/** Seeded random numbers, so that every draw can be repeated. */
export interface Random {
  /** Evenly from low to high. */
  readonly between: (low: number, high: number) => number;
  /** Normal with mean 0. */
  readonly normal: (sd: number) => number;
}

/** Mulberry32 with Box-Muller. */
export function random(seed: number): Random {
  let state = (seed * 0x9e3779b1) >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    between: (low, high) => low + (high - low) * next(),
    normal: (sd) => sd * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}
