/** One line of a batch on its way in and out. */
import { BatchItem } from '../../contract/batch.ts';
import { MAX_DEPTH, parseJson } from '../json.ts';
import { type HttpProblem, problemBody } from '../problems.ts';

/** A record stands one level deeper in a line than in a body of its own. */
export const parseItem = (bytes: Uint8Array): unknown => parseJson(bytes, MAX_DEPTH + 1);

/** @returns undefined when the line has none, or one that is not allowed. */
export function idOf(item: unknown): string | undefined {
  return BatchItem.shape.id.safeParse((item as { id?: unknown } | null | undefined)?.id).data;
}

/** @param id left out of the line when it is not known. */
export function problemLine(line: number, id: string | undefined, problem: HttpProblem): string {
  return `${JSON.stringify({ id, line, problem: problemBody(problem, undefined) })}\n`;
}
