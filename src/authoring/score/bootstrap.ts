/** Ranges by drawing swimmers again and again (Efron 1979): the records of one swimmer come and go together. */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { quantile } from 'simple-statistics';

const DRAWS = 300;
const FEWEST_SWIMMERS = 5;
/** Fixed, so that the same question has the same answer. */
const SEED = 1979;

/**
 * @param swimmers number of swimmers
 * @param figure of a draw, given how often each swimmer was drawn; null where a draw has no figure
 * @returns 5th and 95th percentile; null with fewer than five swimmers or when a tenth of the draws has no figure
 */
export function bootstrapRange(
  swimmers: number,
  figure: (times: Uint32Array) => number | null,
): [number, number] | null {
  if (swimmers < FEWEST_SWIMMERS) return null;
  const random = xoroshiro128plus(SEED);
  const found: number[] = [];
  for (let draw = 0; draw < DRAWS; draw++) {
    const times = new Uint32Array(swimmers);
    for (let i = 0; i < swimmers; i++) {
      const k = uniformInt(random, 0, swimmers - 1);
      times[k] = (times[k] as number) + 1;
    }
    const value = figure(times);
    if (value !== null) found.push(value);
  }
  if (found.length < 0.9 * DRAWS) return null;
  return [quantile(found, 0.05), quantile(found, 0.95)];
}
