/** Reads JSON bodies and nothing else: one exact content type. */
import fp from 'fastify-plugin';
import { parseJson } from '../json.ts';

export const jsonBody = fp(async (app) => {
  app.removeAllContentTypeParsers();
  app.addContentTypeParser('application/json', { parseAs: 'buffer' }, (_request, body, done) => {
    try {
      done(null, parseJson(body as Buffer));
    } catch (error) {
      done(error as Error);
    }
  });
});
