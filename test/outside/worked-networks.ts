/** Two worked examples of three causes and five findings. The second adds a link that closes a loop. */
import { CERTAIN, type SmallNetwork, showsAt } from './small-network.ts';

export const STRONG = 12.5;
export const SUPPORTS = 7.5;

const FINDINGS: { readonly [name: string]: number } = { f1: 0.05, f2: 0.05, f3: 0.1, f4: 0.1, f5: 0.05 };
/** Authored weight of each link: a lone cause against none, in dB. */
const AUTHORED: readonly (readonly [cause: string, finding: string, db: number])[] = [
  ['A', 'f1', STRONG],
  ['B', 'f1', SUPPORTS],
  ['A', 'f2', SUPPORTS],
  ['C', 'f2', STRONG],
  ['C', 'f3', SUPPORTS],
  ['B', 'f4', SUPPORTS],
  ['B', 'f5', STRONG],
];
const LOOP = ['A', 'f5', SUPPORTS] as const;

const written = (authored: typeof AUTHORED): SmallNetwork => ({
  causes: { A: 0.2, B: 0.1, C: 0.05 },
  findings: FINDINGS,
  links: authored.map(([cause, finding, db]) => ({
    cause,
    finding,
    shows: showsAt(db, FINDINGS[finding] as number),
  })),
  // f1 seen for certain, f2 with confidence, f3 certainly not there, f4 not looked at, f5 fairly sure
  reports: { f1: CERTAIN, f2: 15, f3: -CERTAIN, f5: 10 },
});

export const TREE = written(AUTHORED);
export const LOOPY = written([...AUTHORED, LOOP]);

/** Words of the tree read as bins of 2.5 dB either way. */
export function binsOf(small: SmallNetwork): { readonly [word: string]: [number, number] } {
  return Object.fromEntries(
    AUTHORED.map(([cause, finding, db]) => {
      const leak = small.findings[finding] as number;
      return [`${cause}--${finding}`, [showsAt(db - 2.5, leak), showsAt(db + 2.5, leak)]];
    }),
  );
}
