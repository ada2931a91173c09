/** Takes JSON bodies and nothing else: one exact content type. The thread that does the work parses them. */
import fp from 'fastify-plugin';

export const jsonBody = fp(async (app) => {
  app.removeAllContentTypeParsers();
  app.addContentTypeParser('application/json', { parseAs: 'buffer' }, (_request, body, done) =>
    done(null, body),
  );
});
