/** Before and after of each item, in steps of the smallest change to believe, so that one axis serves every unit. */
import type { Change } from '../contract/comparison.ts';
import type { Figure } from './document.ts';
import { ACCENT, AGAINST, arrow, INK, label, lines, PALE, svg } from './figures.ts';

/** A change with both values and a limit: what can be drawn. */
export type Drawn = Change & {
  readonly before: number;
  readonly after: number;
  readonly smallestBelievable: number;
};

/** A change that is neither better nor worse has no place between the two ends. */
export const isDrawn = (c: Change): c is Drawn =>
  c.before !== null &&
  c.after !== null &&
  c.smallestBelievable !== null &&
  c.smallestBelievable > 0 &&
  (c.direction !== 'none' || c.verdict === 'no-change-seen');

/** More rows than this make no picture that one can take in. */
export const MOST_ROWS = 14;
const WIDTH = 360;
const ROW = 52;
const TOP = 26;
const MIDDLE = WIDTH / 2;
const STEP = 55;
/** Beyond this many steps an arrow ends at the edge; the numbers stand in the table. */
const MOST_STEPS = 3;

/** Better is to the right, whichever way the number goes; what did not change stays in the middle. */
function stepsOf(c: Drawn): number {
  if (c.direction === 'none') return 0;
  const steps = Math.abs(c.after - c.before) / c.smallestBelievable;
  return (c.direction === 'better' ? 1 : -1) * Math.min(MOST_STEPS, steps);
}

export interface ChangeWords {
  readonly caption: string;
  readonly better: string;
  readonly worse: string;
  readonly itemOf: (c: Change) => string;
  readonly verdictOf: (c: Change) => string;
}

export function changeFigure(changes: readonly Drawn[], words: ChangeWords): Figure {
  const shown = changes.slice(0, MOST_ROWS);
  const height = TOP + shown.length * ROW;
  const ends =
    label(MIDDLE - MOST_STEPS * STEP, 13, words.worse) +
    label(MIDDLE + MOST_STEPS * STEP, 13, words.better, ' text-anchor="end"');
  const rows = shown.map((c, i) => {
    const y = TOP + i * ROW + 40;
    const to = MIDDLE + stepsOf(c) * STEP;
    const mark =
      Math.abs(to - MIDDLE) < 4
        ? `<circle cx="${MIDDLE}" cy="${y}" r="4" fill="${INK}"/>`
        : arrow(MIDDLE, y, to, y, c.direction === 'worse' ? AGAINST : ACCENT);
    // the band of each row stands by its arrow, so that no word lies across it
    const band = `<rect x="${MIDDLE - STEP}" y="${y - 7}" width="${2 * STEP}" height="14" fill="${PALE}"/>`;
    const zero = `<line x1="${MIDDLE}" y1="${y - 9}" x2="${MIDDLE}" y2="${y + 9}" stroke="${INK}" stroke-width="1"/>`;
    return lines(0, y - 30, words.itemOf(c), 52) + band + zero + mark;
  });
  const alt = shown.map((c) => `${words.itemOf(c)}: ${words.verdictOf(c)}`).join('; ');
  return {
    kind: 'figure',
    svg: svg(WIDTH, height, alt, ends + rows.join('')),
    caption: words.caption,
    alt,
  };
}
