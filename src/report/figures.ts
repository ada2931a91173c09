/** Pictures drawn from the numbers of an answer. Plain shapes, one accent, every value also in words. */
import type { Cause, Efficiency, PhaseScore, Session } from '../contract/answer.ts';
import type { Figure } from './document.ts';
import { escapeHtml as e } from './escape.ts';

export const INK = '#17212b';
export const ACCENT = '#0b4f6c';
export const PALE = '#bcd7e4';
export const AGAINST = '#8a5a00';

/** Narrower pictures fit a phone as they are; wider ones are moved sideways there, so that their words stay readable. */
const SLIM = 400;

/** An SVG with a title that screen readers use as its name. */
export function svg(width: number, height: number, name: string, body: string): string {
  const shape = width <= SLIM ? 'slim' : 'wide';
  return `<svg class="${shape}" viewBox="0 0 ${width} ${height}" role="img" aria-label="${e(name)}" xmlns="http://www.w3.org/2000/svg">${body}</svg>`;
}

export const label = (x: number, y: number, words: string, more = ''): string =>
  `<text x="${x}" y="${y}" font-family="system-ui,sans-serif" font-size="13" fill="${INK}"${more}>${e(words)}</text>`;

/** Breaks words into lines of at most `most` characters; what does not fit on the last line is cut. */
export function wrap(words: string, most: number, lines: number): string[] {
  const out: string[] = [];
  for (const word of words.split(' ')) {
    const last = out.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most) out[out.length - 1] = `${last} ${word}`;
    else out.push(word);
  }
  if (out.length <= lines) return out;
  const kept = out.slice(0, lines);
  return [...kept.slice(0, -1), `${(kept.at(-1) as string).slice(0, most - 3)}...`];
}

export const lines = (x: number, y: number, words: string, most: number): string =>
  wrap(words, most, 2)
    .map((line, i, all) => label(x, y + (all.length === 1 ? 7 : 0) + i * 15, line))
    .join('');

/** Both arms by phase: the bar is the estimate, the pale part the range. */
export function armsFigure(
  efficiency: Efficiency,
  words: { caption: string; phases: Record<string, string>; left: string; right: string; none: string },
): Figure {
  const phases = ['catch', 'pull', 'push', 'arm'] as const;
  const bar = (x: number, y: number, score: PhaseScore): string => {
    if (score.status !== 'scored') return label(x, y + 13, words.none);
    const px = (value: number): number => (value / 100) * 180;
    return [
      `<rect x="${x}" y="${y}" width="180" height="16" fill="none" stroke="${INK}" stroke-width="0.5"/>`,
      `<rect x="${x + px(score.low)}" y="${y}" width="${Math.max(0, px(score.high) - px(score.low))}" height="16" fill="${PALE}"/>`,
      `<rect x="${x}" y="${y + 4}" width="${px(score.estimate)}" height="8" fill="${ACCENT}"/>`,
      label(x + 188, y + 13, `${score.estimate} %`),
    ].join('');
  };
  const rows = phases.map((phase, i) => {
    const y = 30 + i * 30;
    return (
      label(0, y + 13, words.phases[phase] ?? phase) +
      bar(90, y, efficiency.left[phase]) +
      bar(350, y, efficiency.right[phase])
    );
  });
  const say = (score: PhaseScore): string =>
    score.status === 'scored' ? `${score.estimate} % (${score.low}-${score.high})` : words.none;
  const alt = phases
    .map(
      (p) =>
        `${words.phases[p] ?? p}: ${words.left} ${say(efficiency.left[p])}, ${words.right} ${say(efficiency.right[p])}`,
    )
    .join('; ');
  const body = label(90, 16, words.left) + label(350, 16, words.right) + rows.join('');
  return { kind: 'figure', svg: svg(600, 155, alt, body), caption: words.caption, alt };
}

/** Evidence of one cause: lines for it to the right, against it to the left, in decibans. */
export function evidenceFigure(cause: Cause, words: { caption: string }): Figure {
  const shown = cause.trail.filter((l) => Math.abs(l.db) >= 0.1).slice(0, 10);
  const scale = 90 / Math.max(10, ...shown.map((l) => Math.abs(l.db)));
  const rows = shown.map((l, i) => {
    const y = 6 + i * 36;
    const width = Math.abs(l.db) * scale;
    const x = l.db >= 0 ? 95 : 95 - width;
    const bar = `<rect x="${x}" y="${y + 6}" width="${width}" height="14" fill="${l.db >= 0 ? ACCENT : AGAINST}"/>`;
    return bar + lines(200, y + 11, `${signed(l.db)} ${l.text}`, 62);
  });
  const height = 12 + shown.length * 36;
  const axis = `<line x1="95" y1="0" x2="95" y2="${height}" stroke="${INK}" stroke-width="1"/>`;
  const alt = shown.map((l) => `${signed(l.db)} ${l.text}`).join('; ');
  return { kind: 'figure', svg: svg(640, height, alt, rows.join('') + axis), caption: words.caption, alt };
}

const signed = (db: number): string => `${db >= 0 ? '+' : '-'}${Math.abs(db).toFixed(1)} dB:`;

/** A line with a small head at its end; drawn, because a marker would need an id that is unique on the page. */
export function arrow(x1: number, y1: number, x2: number, y2: number, colour = ACCENT): string {
  const turn = (Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI;
  return [
    `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" stroke="${colour}" stroke-width="1.5"/>`,
    `<path d="M-9 -4L0 0L-9 4z" fill="${colour}" transform="translate(${x2} ${y2}) rotate(${turn.toFixed(1)})"/>`,
  ].join('');
}

/** From the driver through the cause to what was seen. */
export function chainFigure(
  chain: { drivers: readonly string[]; cause: string; signs: readonly string[] },
  words: { caption: string },
): Figure {
  const columns = [chain.drivers.slice(0, 4), [chain.cause], chain.signs.slice(0, 5)].filter(
    (c) => c.length > 0,
  );
  const tallest = Math.max(...columns.map((c) => c.length));
  const height = tallest * 46 + 10;
  const boxes = columns.map((items, c) =>
    items.map((words_, i) => ({ words: words_, x: c * 260, y: (height - items.length * 46) / 2 + i * 46 })),
  );
  const arrows = boxes
    .slice(1)
    .flatMap((right, c) =>
      (boxes[c] as typeof right).flatMap((from) =>
        right.map((to) => arrow(from.x + 232, from.y + 19, to.x - 2, to.y + 19)),
      ),
    );
  const shapes = boxes
    .flat()
    .map(
      ({ words: w, x, y }) =>
        `<rect x="${x + 1}" y="${y}" width="230" height="38" rx="6" fill="#eef6fa" stroke="${ACCENT}"/>${lines(x + 8, y + 16, w, 31)}`,
    );
  const alt = columns.map((c) => c.join(', ')).join(' -> ');
  return {
    kind: 'figure',
    svg: svg(754, height, alt, arrows.join('') + shapes.join('')),
    caption: words.caption,
    alt,
  };
}

export function sessionFigure(
  session: Session,
  words: { caption: string; slots: Record<string, string> },
): Figure {
  const total = session.blocks.reduce((sum, b) => sum + b.minutes, 0) || 1;
  let x = 0;
  const parts = session.blocks.map((b, i) => {
    const width = (b.minutes / total) * 600;
    const out = `<rect x="${x}" y="4" width="${width}" height="26" fill="${i % 2 === 0 ? PALE : '#e4eef3'}" stroke="${INK}" stroke-width="0.5"/>${width < 40 ? '' : label(x + 4, 22, `${b.minutes} min`)}${label(x + 2, 46, width < 60 ? '' : (words.slots[b.slot] ?? b.slot))}`;
    x += width;
    return out;
  });
  const alt = session.blocks.map((b) => `${words.slots[b.slot] ?? b.slot} ${b.minutes} min`).join(', ');
  // the last word may stand out beyond a short last block
  return { kind: 'figure', svg: svg(640, 52, alt, parts.join('')), caption: words.caption, alt };
}
