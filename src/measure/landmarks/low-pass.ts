/**
 * Zero-phase Butterworth low-pass: a second-order filter run forward and backward (fourth order in effect).
 *
 * digital-filter: a kept library with the design and the zero-phase pass, padding and start values as in SciPy.
 */
import { butterworth, filtfilt } from 'digital-filter';

/** Two passes lower the cut-off by this factor, so the design frequency is raised by it (Winter, Biomechanics and Motor
 * Control of Human Movement, 4th ed.). It acts on tan(pi fc / fs). */
const TWO_PASSES = (Math.SQRT2 - 1) ** (1 / 4);

/** Odd reflection at both ends, three times the filter length as in SciPy's filtfilt. */
const PAD = 9;
/** Below this many samples the padding would be longer than the run. */
export const SHORTEST_RUN = PAD + 1;

/**
 * Cut-off to design with so that the gain after both passes is 1/sqrt(2) at `cutOffHz`.
 * @returns Hz
 */
export function designCutOff(cutOffHz: number, frameRate: number): number {
  return (frameRate / Math.PI) * Math.atan(Math.tan((Math.PI * cutOffHz) / frameRate) / TWO_PASSES);
}

/**
 * @param values evenly spaced samples without gaps, at least SHORTEST_RUN of them
 * @param cutOffHz -3 dB point of both passes together, below half of `frameRate`
 * @param frameRate samples per second
 * @returns a new list of the same length and unit
 * @throws RangeError when the run is too short or the cut-off is not below half the frame rate
 */
export function lowPass(values: readonly number[], cutOffHz: number, frameRate: number): number[] {
  if (values.length < SHORTEST_RUN) throw new RangeError(`a run of ${values.length} samples is too short`);
  if (!(cutOffHz > 0 && cutOffHz < frameRate / 2))
    throw new RangeError('cut-off must be below half the rate');
  const coefs = butterworth(2, designCutOff(cutOffHz, frameRate), frameRate, 'lowpass');
  return Array.from(filtfilt(Float64Array.from(values), { coefs, padlen: PAD }));
}

/**
 * Gain of both passes together well below half the frame rate: a movement of `hz` keeps this share of its size.
 * @param cutOffHz where the gain is 1/sqrt(2)
 */
export const lowPassGain = (hz: number, cutOffHz: number): number =>
  1 / (1 + (Math.SQRT2 - 1) * (hz / cutOffHz) ** 4);

/**
 * What both passes do to white noise, from the gain 1 / (1 + (tan(pi f / fs) / tan(pi fd / fs))^4).
 * @returns shares of its variance: taken away (what is left and what is taken correlate), and that of the difference of
 *   two neighbouring samples of the output
 */
export function whiteNoiseShares(cutOffHz: number, frameRate: number): { taken: number; step: number } {
  const edge = Math.tan((Math.PI * designCutOff(cutOffHz, frameRate)) / frameRate);
  const STEPS = 256;
  let taken = 0;
  let step = 0;
  for (let i = 0; i < STEPS; i++) {
    const halfAngle = (Math.PI * (i + 0.5)) / (2 * STEPS);
    const gain = 1 / (1 + (Math.tan(halfAngle) / edge) ** 4);
    taken += (1 - gain) ** 2;
    step += (2 * gain * Math.sin(halfAngle)) ** 2;
  }
  return { taken: taken / STEPS, step: step / STEPS };
}
