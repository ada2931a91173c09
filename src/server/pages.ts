/** Pages for reading: every way in which a request can fail, and everything that the lint can say of a rule. */
import { LINTS } from '../authoring/lint/catalogue.ts';
import { PROBLEMS, type ProblemSlug } from './problems.ts';

/** Before the id of a lint, where it stands among the problems. */
const LINT = 'lint-';

function page(title: string, body: string): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${title}</title>
<style>body{font:1rem/1.5 system-ui,sans-serif;max-width:40rem;margin:2rem auto;padding:0 1rem;color:#1b2733}a{color:#0b5c8a}</style></head>
<body>${body}</body></html>
`;
}

const ALL = '<p><a href="/problems">All problems</a></p>';

function problemPage(slug: ProblemSlug): string {
  const { title, status, what, mend } = PROBLEMS[slug];
  return page(
    title,
    `<h1>${title}</h1><p>HTTP status ${status}, type <code>/problems/${slug}</code></p><h2>What happened</h2><p>${what}</p><h2>How to mend it</h2><p>${mend}</p>${ALL}`,
  );
}

const SEVERITY = {
  error: 'An error: a rule set with it is not loaded.',
  warning: 'A warning: it keeps a rule set from being published, unless the author allows it with a reason.',
} as const;

function lintPage(id: string): string | undefined {
  if (!Object.hasOwn(LINTS, id)) return undefined;
  const { severity, title, what, why, mend, ignore } = LINTS[id] as (typeof LINTS)[string];
  return page(
    title,
    `<h1>${title}</h1><p>Lint <code>${id}</code>. ${SEVERITY[severity]}</p><h2>What</h2><p>${what}</p><h2>Why it matters</h2><p>${why}</p><h2>How to mend it</h2><p>${mend}</p><h2>When to leave it</h2><p>${ignore}</p>${ALL}`,
  );
}

/** @param slug last part of a problem type, or `lint-` and the id of a lint. @returns undefined where there is none. */
export function pageOf(slug: string): string | undefined {
  if (slug.startsWith(LINT)) return lintPage(slug.slice(LINT.length));
  return Object.hasOwn(PROBLEMS, slug) ? problemPage(slug as ProblemSlug) : undefined;
}

export function indexPage(): string {
  const problems = Object.entries(PROBLEMS).map(
    ([slug, p]) => `<li><a href="/problems/${slug}">${p.title}</a> (${p.status})</li>`,
  );
  const lints = Object.entries(LINTS).map(
    ([id, l]) => `<li><a href="/problems/${LINT}${id}">${l.title}</a> (${l.severity})</li>`,
  );
  return page(
    'Problems',
    `<h1>Problems</h1><p>Every way in which a request can fail.</p><ul>${problems.join('')}</ul><h2>What the lint says of a rule set</h2><p>For authors of rules.</p><ul>${lints.join('')}</ul>`,
  );
}
