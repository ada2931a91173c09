/** What an answer depends on besides the address (RFC 9110 section 12.5.5). */
import type { FastifyReply } from 'fastify';

/** Adds to what a plugin has said already, such as the origin. */
export function varyBy(reply: FastifyReply, fields: string): FastifyReply {
  const before = reply.getHeader('vary');
  return reply.header('vary', before === undefined ? fields : `${String(before)}, ${fields}`);
}
