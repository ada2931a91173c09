/** Cutting bytes into lines: the same lines whatever the pieces in which the bytes arrive. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Line, splitLines } from '../../../src/server/batch/lines.ts';

const LIMIT = 100;

async function linesOf(chunks: Iterable<Uint8Array>, limit = LIMIT): Promise<Line[]> {
  const lines: Line[] = [];
  for await (const line of splitLines(chunks, limit)) lines.push(line);
  return lines;
}

/** Cuts a text at the given places of its bytes. */
function pieces(text: string, cuts: readonly number[]): Uint8Array[] {
  const bytes = Buffer.from(text);
  const places = [0, ...cuts.map((c) => c % (bytes.length + 1)).sort((a, b) => a - b), bytes.length];
  return places.slice(1).map((to, i) => bytes.subarray(places[i], to));
}

const read = (lines: readonly Line[]): (string | undefined)[] =>
  lines.map(({ bytes }) => (bytes === undefined ? undefined : Buffer.from(bytes).toString()));

describe('lines', () => {
  test.each([
    ['', []],
    ['a', ['a']],
    ['a\n', ['a']],
    ['a\nb', ['a', 'b']],
    ['a\r\nb\r\n', ['a', 'b']],
    ['\n', ['']],
    ['\n\n', ['', '']],
    ['\r\n', ['']],
    ['a\n\nb', ['a', '', 'b']],
    ['a\rb\n', ['a\rb']],
    ['a\r', ['a']],
    ['ü☃𝄞\nb', ['ü☃𝄞', 'b']],
  ])('%j', async (text, lines) => {
    expect(read(await linesOf([Buffer.from(text)]))).toEqual(lines);
  });

  test('are numbered from 1, the ones that are too long too', async () => {
    const text = ['a', 'x'.repeat(LIMIT + 1), '', 'b'].join('\n');
    expect((await linesOf([Buffer.from(text)])).map((l) => l.number)).toEqual([1, 2, 3, 4]);
  });

  test('the same lines for any cuts, also inside a character or between the bytes of a line end', async () => {
    const text = fc
      .array(fc.oneof(fc.string({ unit: 'grapheme', maxLength: 12 }), fc.constantFrom('\n', '\r\n', 'ü☃𝄞')))
      .map((parts) => parts.join(''));
    await fc.assert(
      fc.asyncProperty(text, fc.array(fc.nat(), { maxLength: 12 }), async (whole, cuts) => {
        expect(read(await linesOf(pieces(whole, cuts)))).toEqual(read(await linesOf([Buffer.from(whole)])));
      }),
      { numRuns: 500, seed: 7 },
    );
  });

  test('a line may be as long as the limit, its end not counted, and no longer', async () => {
    const longest = 'x'.repeat(LIMIT);
    for (const end of ['', '\n', '\r\n']) {
      for (const cuts of [[], [1], [LIMIT], [LIMIT + 1], [50, LIMIT, LIMIT + 1]]) {
        expect(read(await linesOf(pieces(longest + end, cuts)))).toEqual([longest]);
        expect(read(await linesOf(pieces(`x${longest}${end}`, cuts)))).toEqual([undefined]);
      }
    }
  });

  test('a line that is too long leaves the next ones alone', async () => {
    const text = `a\n${'x'.repeat(10 * LIMIT)}\nb\n${'y'.repeat(LIMIT + 1)}`;
    for (const size of [1, 7, 64, 5000]) {
      const cuts = Array.from({ length: Math.floor(text.length / size) }, (_, i) => i * size);
      expect(read(await linesOf(pieces(text, cuts)))).toEqual(['a', undefined, 'b', undefined]);
    }
  });

  test('an endless line is read on without being kept', async () => {
    function* endless(): Generator<Uint8Array> {
      for (let i = 0; i < 8000; i++) yield Buffer.alloc(64 * 1024, 'x');
    }
    const before = process.memoryUsage().arrayBuffers;
    const lines = await linesOf(endless(), 1024 * 1024);
    expect(read(lines)).toEqual([undefined]);
    // 500 MiB went by; what is no longer used is collected when the engine likes
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(300 * 1024 * 1024);
  });

  test('a line is given out before the next piece is asked for', async () => {
    let asked = 0;
    function* input(): Generator<Uint8Array> {
      for (const text of ['a\nb\n', 'c\n']) {
        asked++;
        yield Buffer.from(text);
      }
    }
    const seen: [string, number][] = [];
    for await (const { bytes } of splitLines(input(), LIMIT))
      seen.push([Buffer.from(bytes as Uint8Array).toString(), asked]);
    expect(seen).toEqual([
      ['a', 1],
      ['b', 1],
      ['c', 2],
    ]);
  });
});
