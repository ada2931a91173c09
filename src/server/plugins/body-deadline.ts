/**
 * The time in which a body must have arrived. Node's own limit counts for the whole request and would cut a batch that
 * is answered while it arrives; such a route says `streams` and is limited by the silence of its connection alone.
 */
import fp from 'fastify-plugin';
import { rawProblem } from '../problems.ts';

declare module 'fastify' {
  interface FastifyContextConfig {
    /** The content type that the address reads, for `Accept-Post`; JSON if left out. */
    readonly reads?: string;
    /** The body is answered while it arrives. */
    readonly streams?: boolean;
  }
}

export interface BodyDeadlineOptions {
  readonly milliseconds: number;
}

export const bodyDeadline = fp(async (app, { milliseconds }: BodyDeadlineOptions) => {
  app.addHook('onRequest', async (request) => {
    const { raw, routeOptions } = request;
    const empty =
      raw.headers['content-length'] === undefined && raw.headers['transfer-encoding'] === undefined;
    if (empty || routeOptions.config.streams === true) return;
    const timer = setTimeout(() => raw.socket.end(rawProblem('timed-out')), milliseconds);
    const clear = (): void => clearTimeout(timer);
    raw.once('end', clear).once('close', clear);
  });
});
