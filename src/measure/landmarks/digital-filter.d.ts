/** The two functions that we use of digital-filter, which ships no types. */
declare module 'digital-filter' {
  interface SecondOrderSection {
    readonly b0: number;
    readonly b1: number;
    readonly b2: number;
    readonly a1: number;
    readonly a2: number;
  }
  export function butterworth(
    order: number,
    cutOffHz: number,
    samplesPerSecond: number,
    type?: 'lowpass',
  ): SecondOrderSection[];
  /** Forward and backward with odd padding; changes and returns `data`. */
  export function filtfilt(
    data: Float64Array,
    options: { coefs: readonly SecondOrderSection[]; padlen?: number },
  ): Float64Array;
}
