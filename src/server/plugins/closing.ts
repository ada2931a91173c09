/**
 * A graceful end: what was taken in is answered, and a connection is closed with its answer instead of being kept for
 * more (Fastify waits for connections that are kept alive, as long as the client likes).
 */
import fp from 'fastify-plugin';

declare module 'fastify' {
  interface FastifyInstance {
    /** Whether the service has begun to shut down. */
    readonly closing: { readonly begun: boolean };
  }
}

export const closing = fp(async (app) => {
  const state = { begun: false };
  app.decorate('closing', state);
  app.addHook('preClose', async () => {
    state.begun = true;
  });
  app.addHook('onResponse', async () => {
    // the head of a streamed answer may have left before the end began; its connection is idle a moment later
    if (state.begun) setImmediate(() => app.server.closeIdleConnections());
  });
  app.addHook('onSend', async (_request, reply) => {
    if (state.begun) reply.header('connection', 'close');
  });
});
