/** Where the page of a lint stands. */
import type { LintId } from './catalogue.ts';

export const pageOf = (id: LintId): string => `/problems/lint-${id}`;
