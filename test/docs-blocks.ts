/** Parts of a guide that are written by a program stand between two marks: `<!-- name -->` and `<!-- /name -->`. */
import { readFile, writeFile } from 'node:fs/promises';

export const README = new URL('../README.md', import.meta.url);

function split(text: string, name: string): [before: string, block: string, after: string] {
  const [open, end] = [`<!-- ${name} -->\n`, `\n<!-- /${name} -->`];
  const from = text.indexOf(open) + open.length;
  const to = text.indexOf(end, from);
  if (from < open.length || to < 0) throw new Error(`there is no block "${name}"`);
  return [text.slice(0, from), text.slice(from, to), text.slice(to)];
}

export const readBlock = async (file: URL, name: string): Promise<string> =>
  split(await readFile(file, 'utf8'), name)[1];

export async function writeBlock(file: URL, name: string, block: string): Promise<void> {
  const [before, , after] = split(await readFile(file, 'utf8'), name);
  await writeFile(file, `${before}${block}${after}`);
}
