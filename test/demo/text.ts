/** Lines of text for a terminal of 100 columns. Colours are added after the line is laid out. */
export const WIDTH = 100;

/** Breaks at spaces; a word that is longer than the line stands alone, and a number keeps its percent sign. */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.replaceAll(' %', '\u00a0%').split(/ +/)) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, ...(line === '' ? [] : [line])].map((l) => l.replaceAll('\u00a0', ' '));
}

/** Text that hangs behind a label: `label` stands in front of the first line, blanks in front of the rest. */
export function hang(label: string, text: string, width = WIDTH): string[] {
  return wrap(text, width - label.length).map((line, i) =>
    i === 0 ? label + line : ' '.repeat(label.length) + line,
  );
}

/** Left and right of one line, pushed apart. */
export function apart(left: string, right: string, width = WIDTH): string {
  return left + ' '.repeat(Math.max(1, width - left.length - right.length)) + right;
}

export const percent = (share: number): string => `${Math.round(share * 100)} %`;

export function sideWord(side: string): string {
  return side === 'body' ? '' : side === 'both' ? ' (both sides)' : ` (${side})`;
}
