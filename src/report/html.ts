/** A report as one self-contained page: no script, no outside resource, printable on A4 and readable on a phone. */
import type { Block, Report } from './document.ts';
import { escapeHtml as e } from './escape.ts';

/** Dark on light, at least 7 to 1 (WCAG 2.2, 1.4.6). */
const STYLE = `
:root{color-scheme:light}
body{font:1rem/1.5 system-ui,sans-serif;color:#17212b;background:#fff;max-width:46rem;margin:0 auto;padding:1rem;overflow-wrap:anywhere}
h1{font-size:1.6rem;line-height:1.2;margin:.5rem 0 1rem}h2{font-size:1.2rem;margin:1.6rem 0 .4rem;border-bottom:2px solid #0b4f6c;padding-bottom:.15rem}
h3{font-size:1rem;margin:1rem 0 .2rem}p,ul,ol,figure,table{margin:.4rem 0}ul,ol{padding-left:1.4rem}li{margin:.15rem 0}
.stop{border-left:.4rem solid #8c1c13;padding:.5rem .8rem;background:#fdf1f0;font-weight:600}
.note{border-left:.4rem solid #0b4f6c;padding:.5rem .8rem;background:#eef6fa}
.scroll{overflow-x:auto}table{border-collapse:collapse;width:100%}th,td{border-bottom:1px solid #b8c4ce;padding:.25rem .5rem;text-align:left;vertical-align:top;overflow-wrap:break-word}
figure svg{width:100%;height:auto;max-width:42rem}figure svg.slim{max-width:25rem}@media screen and (max-width:34rem){figure svg.wide{width:36rem;max-width:none}}figcaption{font-size:.9rem;color:#33434f}
.page{border:0;border-top:1px dashed #33434f;margin:2rem 0}
.line{border-bottom:1px solid #17212b;height:1.6rem;display:flex;align-items:flex-end}
@media print{@page{size:A4;margin:16mm}.page{border:0;margin:0;break-before:page}body{max-width:none;padding:0;font-size:10.5pt}h2,h3{break-after:avoid}figure,table,li{break-inside:avoid}}
`.trim();

function block(b: Block): string {
  switch (b.kind) {
    case 'heading':
      return `<h${b.level}>${e(b.text)}</h${b.level}>`;
    case 'text':
      return b.tone === undefined ? `<p>${e(b.text)}</p>` : `<p class="${b.tone}">${e(b.text)}</p>`;
    case 'list': {
      const tag = b.ordered ? 'ol' : 'ul';
      return `<${tag}>${b.items.map((item) => `<li>${e(item)}</li>`).join('')}</${tag}>`;
    }
    case 'table': {
      const head = b.head.map((cell) => `<th scope="col">${e(cell)}</th>`).join('');
      const rows = b.rows
        .map((row) => `<tr>${row.map((cell) => `<td>${e(cell)}</td>`).join('')}</tr>`)
        .join('');
      return `<div class="scroll"><table><thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table></div>`;
    }
    case 'blank':
      return `<p class="line">${e(b.label)}</p>`;
    case 'page':
      return '<hr class="page">';
    case 'figure':
      return `<figure><div class="scroll" tabindex="0" role="group" aria-label="${e(b.caption)}">${b.svg}</div><figcaption>${e(b.caption)}</figcaption></figure>`;
  }
}

export function toHtml(report: Report): string {
  return `<!DOCTYPE html>
<html lang="${e(report.language)}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${e(report.title)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<h1>${e(report.title)}</h1>
${report.blocks.map(block).join('\n')}
</main>
</body>
</html>
`;
}
