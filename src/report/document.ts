/** A report before it has a form: the same document becomes HTML or Markdown. */

export interface Figure {
  readonly kind: 'figure';
  /** Inline SVG made by our own code from numbers and escaped texts. */
  readonly svg: string;
  readonly caption: string;
  /** What the picture shows, in words: read aloud, and printed where there are no pictures. */
  readonly alt: string;
}

export type Block =
  | { readonly kind: 'heading'; readonly level: 2 | 3; readonly text: string }
  | { readonly kind: 'text'; readonly text: string; readonly tone?: 'stop' | 'note' }
  | { readonly kind: 'list'; readonly ordered: boolean; readonly items: readonly string[] }
  | {
      readonly kind: 'table';
      readonly head: readonly string[];
      readonly rows: readonly (readonly string[])[];
    }
  | { readonly kind: 'blank'; readonly label: string }
  /** What follows begins a new sheet in print. */
  | { readonly kind: 'page' }
  | Figure;

export interface Report {
  readonly language: string;
  readonly title: string;
  readonly blocks: readonly Block[];
}

export const heading = (text: string, level: 2 | 3 = 2): Block => ({ kind: 'heading', level, text });
export const text = (words: string, tone?: 'stop' | 'note'): Block =>
  tone === undefined ? { kind: 'text', text: words } : { kind: 'text', text: words, tone };
export const list = (items: readonly string[], ordered = false): Block => ({ kind: 'list', ordered, items });
export const table = (head: readonly string[], rows: readonly (readonly string[])[]): Block => ({
  kind: 'table',
  head,
  rows,
});
export const PAGE: Block = { kind: 'page' };
