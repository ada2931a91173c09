/** How evenly one swim was paced, from its splits. */
import { mean, sampleStandardDeviation, sum } from 'simple-statistics';
import type { Part, Reading } from './reading.ts';

export interface Pacing {
  readonly laps: readonly number[];
  /** Coefficient of variation in %, sample standard deviation; first and last lap left out (dive and end spurt). */
  readonly middleVariation: number | null;
  /** The same of all laps. */
  readonly variation: number;
  /** Second half against the first in %, negative when the second was faster; null for an odd number of laps. */
  readonly secondHalfChange: number | null;
}

/** Fewer laps have no middle. */
const FEWEST_LAPS = 5;
/** Official and hand times are written to the hundredth; hand timing adds more, but cancels between laps. */
const SPLIT_SD_S = 0.05;

const variationOf = (laps: readonly number[]): number =>
  (100 * sampleStandardDeviation([...laps])) / mean([...laps]);

/**
 * Laps, their variation, and the second half against the first.
 *
 * @param splits clock times in seconds at equal parts of the distance, rising; at least two
 * @returns laps in seconds, the rest in percent; null for too few laps (the middle) or an odd number of them (the halves)
 */
export function pacing(splits: readonly number[]): Pacing {
  const laps = splits.map((time, i) => time - (splits[i - 1] ?? 0));
  const half = laps.length / 2;
  const [first, second] = [sum(laps.slice(0, half)), sum(laps.slice(half))];
  return {
    laps,
    middleVariation: laps.length < FEWEST_LAPS ? null : variationOf(laps.slice(1, -1)),
    variation: variationOf(laps),
    secondHalfChange: Number.isInteger(half) ? (100 * (second - first)) / first : null,
  };
}

/**
 * Pacing of each swim by definition: coefficient of variation of the laps but the first and the last, halves compared.
 *
 * @param swims metres and splits in seconds
 * @returns pace variation and second-half change in percent, one each per swim, as far as its laps allow
 */
export function measurePacing(swims: readonly { metres: number; splits: readonly number[] }[]): Part {
  const readings = swims.flatMap(({ metres, splits }): Reading[] => {
    const { laps, middleVariation, variation, secondHalfChange } = pacing(splits);
    const half = (splits.at(-1) as number) / 2;
    const common = { inputs: 'splits', source: 'definition', metres, lapSeconds: [...laps] };
    const change: Reading[] =
      secondHalfChange === null
        ? []
        : [
            {
              code: 'second-half-change',
              side: 'body',
              value: secondHalfChange,
              standardDeviation: (100 * Math.sqrt(5) * SPLIT_SD_S) / half,
              certainty: 'sure',
              derivation: {
                ...common,
                formula:
                  '100 x (second half - first half) / first half; a start from the block makes the first half faster',
                negativeSplit: secondHalfChange < 0,
              },
            },
          ];
    if (middleVariation === null) return change;
    const lap = mean(laps.slice(1, -1));
    return [
      {
        code: 'pace-variation',
        side: 'body',
        value: middleVariation,
        standardDeviation: Math.hypot(
          middleVariation / Math.sqrt(2 * (laps.length - 3)),
          (100 * Math.SQRT2 * SPLIT_SD_S) / lap / Math.sqrt(laps.length - 3),
        ),
        certainty: 'sure',
        derivation: {
          ...common,
          formula:
            '100 x sample standard deviation / mean of the laps, without the first (start) and the last (end spurt)',
          allLaps: variation,
        },
      },
      ...change,
    ];
  });
  return { readings, notes: [] };
}
