/** The problem answers of an operation, for the contract. */
import { Problem } from '../../contract/problem.ts';
import { PROBLEMS } from '../problems.ts';

type Entry = { description: string; content: { 'application/problem+json': { schema: typeof Problem } } };

const titleOf = (status: number): string =>
  Object.values(PROBLEMS).find((p) => p.status === status)?.title ?? 'Problem';

function responses<S extends number>(statuses: readonly S[]): { [K in S]: Entry } {
  return Object.fromEntries(
    statuses.map((status) => [
      status,
      {
        description: titleOf(status),
        content: { 'application/problem+json': { schema: Problem } },
      },
    ]),
  ) as { [K in S]: Entry };
}

/** Of an operation that may ask for a key. */
export const problemResponses = <S extends number>(...statuses: readonly S[]) =>
  responses([...statuses, 401, 403, 429] as const);

/** Of an operation that never does. */
export const openResponses = <S extends number>(...statuses: readonly S[]) => responses(statuses);
