/** A body as it arrived. It is parsed by the task, in its thread. */
import type { FastifyRequest } from 'fastify';
import { HttpProblem } from '../problems.ts';

export interface Posted {
  readonly bytes: Uint8Array<ArrayBuffer>;
}

/**
 * @returns a copy of the bytes of the body, alone in their memory: only so they can go to a thread without another copy.
 * @throws HttpProblem `malformed-json` when nothing was sent.
 */
export function postedOf({ body }: FastifyRequest): Posted {
  if (body === undefined) throw new HttpProblem('malformed-json', { detail: 'The body is empty.' });
  return { bytes: new Uint8Array(body as Buffer) };
}
