/** Headers that keep a browser from doing more with an answer than showing it. The Swagger page is self-contained. */
import helmet from '@fastify/helmet';
import fp from 'fastify-plugin';

export const securityHeaders = fp(async (app) => {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'", "'unsafe-inline'"],
        imgSrc: ["'self'", 'data:'],
        connectSrc: ["'self'"],
        fontSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'none'"],
        frameAncestors: ["'none'"],
      },
    },
    // plain HTTP on loopback is the default; TLS is the proxy's business
    strictTransportSecurity: false,
  });
});
