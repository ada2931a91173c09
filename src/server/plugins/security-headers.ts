/** Headers that keep a browser from doing more with an answer than showing it. The Swagger page is self-contained. */
import helmet from '@fastify/helmet';
import fp from 'fastify-plugin';

const DIRECTIVES = {
  'default-src': ["'none'"],
  'script-src': ["'self'"],
  'style-src': ["'self'", "'unsafe-inline'"],
  'img-src': ["'self'", 'data:'],
  'connect-src': ["'self'"],
  'font-src': ["'self'"],
  'base-uri': ["'none'"],
  'form-action': ["'none'"],
  'frame-ancestors': ["'none'"],
};

/** The same headers for answers that no hook sees, such as an address that cannot be decoded. */
export const BARE_HEADERS = {
  'content-security-policy': Object.entries(DIRECTIVES)
    .map(([name, sources]) => `${name} ${sources.join(' ')}`)
    .join(';'),
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
};

export const securityHeaders = fp(async (app) => {
  await app.register(helmet, {
    contentSecurityPolicy: { useDefaults: false, directives: DIRECTIVES },
    // plain HTTP on loopback is the default; TLS is the proxy's business
    strictTransportSecurity: false,
  });
});
