/** Writes figures.md. */
import { writeFile } from 'node:fs/promises';
import { accuracyOf, documentOf, VIEWS } from './figures.ts';

const byView = new Map(VIEWS.map((view) => [view, accuracyOf(view)] as const));
await writeFile(new URL('figures.md', import.meta.url), documentOf(byView));
