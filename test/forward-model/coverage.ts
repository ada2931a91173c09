/** How often the model's own value lies within what the measurement states. */
import { type Clip, drawClip, type View } from './film.ts';
import { type Truth, truthOf } from './truth.ts';

export interface Measured {
  readonly code: string;
  readonly side: string;
  readonly unit: string;
  readonly value: number;
  readonly standardDeviation: number;
  readonly derivation: Readonly<Record<string, unknown>>;
}

export interface Coverage {
  readonly code: string;
  readonly unit: string;
  readonly count: number;
  /** Shares within one and within 1.96 standard deviations. */
  readonly one: number;
  readonly two: number;
  /** Mean and spread of (value - truth) / standard deviation, and the mean standard deviation in the unit of the code. */
  readonly meanZ: number;
  readonly sdZ: number;
  readonly meanSd: number;
}

/** The model's number that a measurement should return. */
export function trueValue(view: View, measured: Measured, truth: Truth): number | undefined {
  if (measured.code === 'roll-asymmetry') {
    const rightMinusLeft = truth.get('roll-right-minus-left')!;
    return measured.side === 'right' ? rightMinusLeft : -rightMinusLeft;
  }
  const plane =
    measured.code !== 'forearm-from-vertical-mid'
      ? ''
      : view === '3d'
        ? '/larger'
        : view === 'front-under'
          ? '/front'
          : '/side';
  return truth.get(`${measured.code}${plane}/${measured.side}`);
}

/** The truth of one seed serves every view. */
const truths = new Map<number, Truth>();

function truthOfSeed(seed: number, clip: Clip): Truth {
  const known = truths.get(seed) ?? truthOf(clip.build);
  truths.set(seed, known);
  return known;
}

/** Measures films of the draws 1 to `draws` and counts, per code. */
export function coverageOf(
  view: View,
  draws: number,
  measure: (clip: Clip) => readonly Measured[],
): Coverage[] {
  const errors = new Map<string, { z: number; sd: number; unit: string }[]>();
  for (let seed = 1; seed <= draws; seed++) {
    const clip = drawClip(view, seed);
    const truth = truthOfSeed(seed, clip);
    for (const m of measure(clip)) {
      const own = trueValue(view, m, truth);
      if (own === undefined) continue;
      const list = errors.get(m.code) ?? [];
      list.push({ z: (m.value - own) / m.standardDeviation, sd: m.standardDeviation, unit: m.unit });
      errors.set(m.code, list);
    }
  }
  return [...errors].map(([code, list]) => {
    const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / values.length;
    const share = (limit: number): number => list.filter((e) => Math.abs(e.z) <= limit).length / list.length;
    const meanZ = mean(list.map((e) => e.z));
    return {
      code,
      unit: list[0]!.unit,
      count: list.length,
      one: share(1),
      two: share(1.96),
      meanZ,
      sdZ: Math.sqrt(mean(list.map((e) => (e.z - meanZ) ** 2))),
      meanSd: mean(list.map((e) => e.sd)),
    };
  });
}
