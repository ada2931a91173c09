/** A client of the batch that goes on after a broken connection: it sends the ids again that have no answer. */
import { once } from 'node:events';
import http, { type IncomingMessage } from 'node:http';

export interface Tally {
  /** Answer lines by id, each as it was sent. */
  readonly answers: Map<string, string>;
  /** How often the batch, or what was left of it, was sent. */
  sends: number;
  /** Lines that came for an id that had its answer already. */
  twice: number;
}

/** Sends lines with their length. @returns the answer; undefined when the connection broke before it began. */
async function send(url: string, lines: readonly string[]): Promise<IncomingMessage | undefined> {
  const body = lines.join('');
  const headers = { 'content-type': 'application/x-ndjson', 'content-length': Buffer.byteLength(body) };
  const request = http.request(url, { method: 'POST', headers, agent: false });
  const answer = once(request, 'response').then(
    ([response]) => response as IncomingMessage,
    () => undefined,
  );
  // a connection may also break after the answer has begun
  request.on('error', () => undefined).end(body);
  const response = await answer;
  if (response !== undefined && response.statusCode !== 200)
    throw new Error(`a batch got ${response.statusCode}`);
  return response;
}

/** The whole lines of an answer; one that broke off ends like any other. */
async function* linesOf(response: IncomingMessage): AsyncGenerator<string, void, void> {
  let rest = '';
  try {
    for await (const text of response.setEncoding('utf8')) {
      const lines = (rest + text).split('\n');
      rest = lines.pop() as string;
      yield* lines;
    }
  } catch {
    // what is missing is sent again
  }
}

/**
 * @param url where to send; asked anew for each send.
 * @param lines by id.
 * @param read told of the number of ids that have an answer; no more is read until it resolves.
 */
export async function sendUntilAnswered(
  url: string | (() => string),
  lines: ReadonlyMap<string, string>,
  read: (answered: number) => Promise<void>,
): Promise<Tally> {
  const tally: Tally = { answers: new Map(), sends: 0, twice: 0 };
  while (tally.answers.size < lines.size) {
    tally.sends++;
    const left = [...lines].filter(([id]) => !tally.answers.has(id)).map(([, line]) => line);
    const response = await send(typeof url === 'string' ? url : url(), left);
    if (response === undefined) continue;
    for await (const line of linesOf(response)) {
      const { id } = JSON.parse(line) as { id: string };
      if (tally.answers.has(id)) tally.twice++;
      tally.answers.set(id, line);
      await read(tally.answers.size);
    }
  }
  return tally;
}
