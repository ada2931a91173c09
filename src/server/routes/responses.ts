/** The problem answers of an operation, for the contract. */
import { STATUS_CODES } from 'node:http';
import { Problem } from '../../contract/problem.ts';

type Entry = { description: string; content: { 'application/problem+json': { schema: typeof Problem } } };

export function problemResponses<S extends number>(...statuses: readonly S[]): { [K in S]: Entry } {
  return Object.fromEntries(
    statuses.map((status) => [
      status,
      {
        description: STATUS_CODES[status] ?? 'Problem',
        content: { 'application/problem+json': { schema: Problem } },
      },
    ]),
  ) as { [K in S]: Entry };
}
