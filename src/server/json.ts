/**
 * Reads one JSON text as every address of the service does: valid UTF-8, bounded depth, no prototype keys. The depth
 * is counted on the text before parsing, because deep nesting would overflow the schema check.
 */
import { parse } from 'secure-json-parse';
import { HttpProblem } from './problems.ts';

/** Deeper than any request needs. */
export const MAX_DEPTH = 16;

const UTF8 = new TextDecoder('utf-8', { fatal: true });

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

function decode(bytes: Uint8Array): string {
  try {
    return UTF8.decode(bytes);
  } catch {
    throw new HttpProblem('malformed-json', { detail: 'The text is not valid UTF-8.' });
  }
}

/**
 * @param bytes the text; a byte order mark is skipped (RFC 8259 section 8.1 allows it).
 * @throws HttpProblem `malformed-json` or `too-deep`.
 */
export function parseJson(bytes: Uint8Array, maxDepth = MAX_DEPTH): unknown {
  const text = decode(bytes);
  if (text.trim() === '') throw new HttpProblem('malformed-json', { detail: 'There is no text.' });
  if (depthOf(text) > maxDepth) throw new HttpProblem('too-deep', { detail: `At most ${maxDepth} levels.` });
  try {
    return parse(text, undefined, { protoAction: 'error', constructorAction: 'error' });
  } catch (error) {
    throw new HttpProblem('malformed-json', { detail: (error as Error).message });
  }
}
