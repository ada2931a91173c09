/**
 * Reads JSON bodies and nothing else: one exact content type, no prototype keys, bounded depth. The depth is counted
 * on the text before parsing, because deep nesting would overflow the schema check.
 */
import fp from 'fastify-plugin';
import { HttpProblem } from '../problems.ts';

const MAX_DEPTH = 16;

/** Deepest nesting of a JSON text, strings skipped. */
export function depthOf(json: string): number {
  let depth = 0;
  let deepest = 0;
  let inString = false;
  for (let i = 0; i < json.length; i++) {
    const c = json.charCodeAt(i);
    if (inString) {
      if (c === 0x5c) i++;
      else if (c === 0x22) inString = false;
    } else if (c === 0x22) inString = true;
    else if (c === 0x7b || c === 0x5b) deepest = Math.max(deepest, ++depth);
    else if (c === 0x7d || c === 0x5d) depth--;
  }
  return deepest;
}

export const jsonBody = fp(async (app) => {
  app.removeAllContentTypeParsers();
  const parse = app.getDefaultJsonParser('error', 'error');
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (request, body, done) => {
    if (depthOf(body as string) > MAX_DEPTH) {
      done(new HttpProblem('too-deep', { detail: `At most ${MAX_DEPTH} levels.` }));
      return;
    }
    void parse(request, body as string, done);
  });
});
