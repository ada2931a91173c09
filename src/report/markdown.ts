/** The same report as Markdown; pictures become their words. */
import type { Block, Report } from './document.ts';
import { escapeMarkdown as e } from './escape.ts';

const row = (cells: readonly string[]): string => `| ${cells.map(e).join(' | ')} |`;

function block(b: Block): string {
  switch (b.kind) {
    case 'heading':
      return `${'#'.repeat(b.level)} ${e(b.text)}`;
    case 'text':
      return b.tone === undefined ? e(b.text) : `> ${e(b.text)}`;
    case 'list':
      return b.items.map((item, i) => `${b.ordered ? `${i + 1}.` : '-'} ${e(item)}`).join('\n');
    case 'table':
      return [row(b.head), `|${' --- |'.repeat(b.head.length)}`, ...b.rows.map(row)].join('\n');
    case 'blank':
      return `${e(b.label)} \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_`;
    case 'page':
      return '---';
    case 'figure':
      return `*${e(b.caption)}*: ${e(b.alt)}`;
  }
}

export function toMarkdown(report: Report): string {
  return `# ${e(report.title)}\n\n${report.blocks.map(block).join('\n\n')}\n`;
}
