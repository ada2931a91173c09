/** Cuts a stream of bytes into lines, whatever the places at which it arrives in pieces. */

export interface Line {
  /** From 1. */
  readonly number: number;
  /** Without its line end; undefined for a line that is longer than allowed. */
  readonly bytes: Uint8Array | undefined;
}

const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const bytes = pieces.length === 1 ? (pieces[0] as Uint8Array) : Buffer.concat(pieces);
  return bytes.at(-1) === CARRIAGE_RETURN ? bytes.subarray(0, -1) : bytes;
}

/**
 * @param limit longest line in bytes; of a longer one nothing is kept.
 * @returns every line, also one without a line feed at the end; an empty stream has none.
 */
export async function* splitLines(
  chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  limit: number,
): AsyncGenerator<Line, void, void> {
  // a carriage return belongs to the line end
  const most = limit + 1;
  let number = 1;
  let pieces: Uint8Array[] = [];
  let length = 0;
  const add = (piece: Uint8Array): void => {
    length += piece.length;
    if (length > most) pieces = [];
    else if (piece.length > 0) pieces.push(piece);
  };
  const take = (): Line => {
    const bytes = length > most ? undefined : joined(pieces);
    const line = { number, bytes: bytes === undefined || bytes.length > limit ? undefined : bytes };
    number++;
    pieces = [];
    length = 0;
    return line;
  };
  for await (const chunk of chunks) {
    let from = 0;
    for (let to = chunk.indexOf(LINE_FEED); to >= 0; to = chunk.indexOf(LINE_FEED, from)) {
      add(chunk.subarray(from, to));
      yield take();
      from = to + 1;
    }
    add(chunk.subarray(from));
  }
  if (length > 0) yield take();
}
