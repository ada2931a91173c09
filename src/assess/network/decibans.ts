/** 1 dB (deciban) = 10 log10 of odds or of a likelihood ratio. */

export const db = (ratio: number): number => 10 * Math.log10(ratio);
export const ratioOf = (weightDb: number): number => 10 ** (weightDb / 10);
export const probabilityOf = (logOddsDb: number): number => 1 / (1 + 10 ** (-logOddsDb / 10));
export const logOddsOf = (p: number): number => 10 * Math.log10(p / (1 - p));

/** Entropy of a yes/no question in bits. */
export const entropy = (p: number): number =>
  p <= 0 || p >= 1 ? 0 : -(p * Math.log2(p) + (1 - p) * Math.log2(1 - p));

/**
 * Weight of an uncertain report for a cause (virtual evidence, Pearl 1988).
 *
 * @param lambda likelihood ratio of the report itself; 1 says nothing.
 * @param s chance of the finding with the cause. @param g chance without it.
 */
export const weightOfReport = (lambda: number, s: number, g: number): number =>
  db((lambda * s + 1 - s) / (lambda * g + 1 - g));
