/**
 * A club's own system, as small as it can be: it reads a spreadsheet of its swimmers, has each of them assessed, and keeps
 * every answer in a file of its own. Run again, it sends only those that have no answer yet.
 *
 *     node test/club/club.ts swimmers.csv answers/ http://127.0.0.1:8080
 */
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { type BatchItem, createClient } from '../../src/client/index.ts';

type Row = { readonly [column: string]: string };

/** A column "obs:CODE" or "obs:CODE@left" holds 0 (looked for, not there) to 3; an empty cell was not looked at. */
function recordOf(row: Row): BatchItem {
  const observations = Object.entries(row).flatMap(([column, cell]) => {
    const [, code, side] = /^obs:([a-z-]+)(?:@(left|right|both))?$/.exec(column) ?? [];
    if (code === undefined || cell === '') return [];
    return [{ code, severity: Number(cell), ...(side === undefined ? {} : { side }) }];
  });
  const { ref = '', level } = row;
  // what is no record is refused by the service, line by line, with the place of the mistake
  const request = { swimmer: { ref, level }, observations, options: { nextLooks: 3 } };
  return { id: ref, request } as BatchItem;
}

/** @returns how many answers were stored, and how many swimmers were refused. */
export async function importSquad(
  spreadsheet: string,
  folder: string,
  baseUrl: string,
): Promise<{ stored: number; refused: number }> {
  await mkdir(folder, { recursive: true });
  const have = new Set((await readdir(folder)).map((file) => file.replace(/\.json$/, '')));
  const rows: Row[] = parse(await readFile(spreadsheet), { bom: true, columns: true });
  const items = rows.map(recordOf).filter(({ id }) => !have.has(id));
  const client = createClient({ baseUrl });
  let [stored, refused] = [0, 0];
  try {
    for await (const line of client.assessMany(items)) {
      if ('problem' in line) {
        console.error(`${line.id}: ${JSON.stringify(line.problem.errors ?? line.problem.title)}`);
        refused++;
        continue;
      }
      await writeFile(join(folder, `${line.id}.json`), `${JSON.stringify(line.answer, null, 2)}\n`);
      stored++;
    }
  } finally {
    await client.close();
  }
  return { stored, refused };
}

if (import.meta.main) {
  const [spreadsheet, folder, baseUrl] = process.argv.slice(2);
  if (spreadsheet === undefined || folder === undefined || baseUrl === undefined)
    throw new Error('node test/club/club.ts <spreadsheet> <folder> <address of the service>');
  const { stored, refused } = await importSquad(spreadsheet, folder, baseUrl);
  console.log(`${stored} answers stored, ${refused} swimmers refused`);
}
