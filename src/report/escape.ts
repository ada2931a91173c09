/** Everything that a user typed passes through here before it stands in a page. */

const HTML: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

// control characters have no place in a page, nor do marks that turn the direction of what follows; line breaks and tabs
// become spaces
const CONTROL = /[\p{Cc}\p{Bidi_Control}]+/gu;

export const escapeHtml = (value: string): string =>
  value.replace(CONTROL, ' ').replace(/[&<>"']/g, (c) => HTML[c] as string);

/** Characters that would start a mark, a link, a table cell or raw HTML. */
export const escapeMarkdown = (value: string): string =>
  value.replace(CONTROL, ' ').replace(/[\\`*_{}[\]()#+!|<>~-]/g, (c) => `\\${c}`);
