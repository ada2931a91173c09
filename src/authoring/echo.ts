/** What the words of a link say, told back in counts of swimmers and in decibans. */
import { db } from '../assess/network/decibans.ts';
import type { Constants } from '../knowledge/parts.ts';

export interface Echo {
  /** Share of swimmers with none of the finding's causes who show it, and of those whose only fault is the cause. */
  readonly background: number;
  readonly shows: number;
  /** Weight of the finding for the cause when it is surely seen, and when it is surely not there. */
  readonly seenDb: number;
  readonly absentDb: number;
  readonly text: string;
}

/** A real minus sign, as in print. */
export const signed = (x: number): string => `${x < 0 ? '−' : '+'}${Math.abs(x).toFixed(1)}`;

/** Twenty swimmers where that makes whole people, otherwise a hundred. */
function crowd(background: number): number {
  return background * 20 >= 1 - 1e-9 ? 20 : 100;
}

const people = (share: number, of: number): string => String(Math.round(share * of * 10) / 10);

/** @param words the words of the rule set; both must be among them. */
export function echoOf(showsWord: string, backgroundWord: string, words: Constants['words']): Echo {
  const shows = words.shows[showsWord] as number;
  const background = words.background[backgroundWord] as number;
  const n = crowd(background);
  const seenDb = db(shows / background);
  const absentDb = db((1 - shows) / (1 - background));
  const text =
    `You say: of ${n} swimmers with none of these causes ${people(background, n)} show${people(background, n) === '1' ? 's' : ''} it, ` +
    `of ${n} whose only fault is this ${people(shows, n)}; ` +
    `seen ${signed(seenDb)} dB, looked for and absent ${signed(absentDb)} dB.`;
  return { background, shows, seenDb, absentDb, text };
}
