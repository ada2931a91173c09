/** What pages of other origins may do, where the settings name them: call with a key and read what a client needs. */
import type { FastifyCorsOptions } from '@fastify/cors';

export const corsOptions = (origins: readonly string[]): FastifyCorsOptions => ({
  origin: [...origins],
  methods: ['GET', 'HEAD', 'POST'],
  allowedHeaders: ['authorization', 'content-type', 'prefer', 'accept', 'if-none-match'],
  exposedHeaders: ['etag', 'retry-after', 'preference-applied', 'x-request-id', 'server-timing'],
  // keys travel in a header, never in a cookie
  credentials: false,
  maxAge: 600,
  strictPreflight: false,
});
