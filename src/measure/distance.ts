/** Metres and yards. */
import { METRES_PER_YARD } from '../contract/raw-data.ts';

/** @param given metres or yards, one of them. @returns metres */
export function metresOf(given: { metres?: number | undefined; yards?: number | undefined }): number {
  return given.metres ?? (given.yards ?? Number.NaN) * METRES_PER_YARD;
}
