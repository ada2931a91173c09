/** A body as it arrived. It is parsed by the task, in its thread. */
import type { FastifyRequest } from 'fastify';
import { HttpProblem } from '../problems.ts';

export interface Posted {
  readonly bytes: Uint8Array<ArrayBuffer>;
}

/**
 * @returns the bytes of the body, alone in their memory: a thread would be sent the whole block that they share with others.
 * @throws HttpProblem `malformed-json` when nothing was sent.
 */
export function postedOf({ body }: FastifyRequest): Posted {
  if (body === undefined) throw new HttpProblem('malformed-json', { detail: 'The body is empty.' });
  return { bytes: new Uint8Array(body as Buffer) };
}
