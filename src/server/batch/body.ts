/**
 * A body of known length is read whole before the first answer is sent; a chunked one is answered while it arrives.
 *
 * Many clients, and proxies such as nginx, do not go on sending once an answer begins, or read nothing before they have
 * sent everything. They send a length (nginx writes one for what it has buffered), and wait for each other for ever
 * with a service that answers early. Whoever sends chunks directly can read while it sends, and its memory stays flat.
 */
import type { IncomingMessage } from 'node:http';
import { HttpProblem } from '../problems.ts';

/** Keeps nothing of what it gives away. */
function* givenAway(pieces: Uint8Array[]): Generator<Uint8Array, void, void> {
  pieces.reverse();
  for (let piece = pieces.pop(); piece !== undefined; piece = pieces.pop()) yield piece;
}

/**
 * @param limit of a body of known length.
 * @throws HttpProblem `body-too-large`.
 */
export async function batchBody(
  message: IncomingMessage,
  limit: number,
): Promise<AsyncIterable<Uint8Array> | Iterable<Uint8Array>> {
  const length = message.headers['content-length'];
  if (length === undefined) return message;
  if (Number(length) > limit) {
    throw new HttpProblem('body-too-large', {
      detail: `At most ${limit} bytes, or any number in chunks (Transfer-Encoding: chunked).`,
      headers: { connection: 'close' },
    });
  }
  const pieces: Uint8Array[] = [];
  for await (const piece of message as AsyncIterable<Uint8Array>) pieces.push(piece);
  return givenAway(pieces);
}
