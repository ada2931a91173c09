/** Whole lines of a stream of bytes. A last line without its line feed is not given: it was cut off. */
export async function* linesOf(body: AsyncIterable<Uint8Array>): AsyncGenerator<string, void, void> {
  const decoder = new TextDecoder();
  let rest = '';
  for await (const chunk of body) {
    const parts = (rest + decoder.decode(chunk, { stream: true })).split('\n');
    rest = parts.pop() as string;
    for (const line of parts) if (line !== '') yield line;
  }
}
