/**
 * `npm run demo [name ...]`: starts the service, sends the named examples (or all) over HTTP and prints each answer.
 * Fails when any answer is not 200.
 */
import { start } from '../../src/server/start.ts';
import { type Example, readExampleFiles } from '../openapi/read-examples.ts';
import { QUIET } from '../settings.ts';
import { bold, dim } from './paint.ts';
import { show } from './show.ts';

/** @throws Error when a name is not that of an example. */
function chosen(all: readonly Example[], names: readonly string[]): readonly Example[] {
  if (names.length === 0) return all;
  return names.map((name) => {
    const found = all.find((e) => e.name === name || String(e.number) === name.replace(/^0+/, ''));
    if (found === undefined)
      throw new Error(
        `There is no example "${name}". There are:\n${all.map((e) => `  ${e.name}`).join('\n')}`,
      );
    return found;
  });
}

try {
  const examples = chosen(await readExampleFiles(), process.argv.slice(2));
  const { app, url } = await start(QUIET);
  try {
    console.log(dim(`Front crawl assessment: invented swimmers, sent to ${url}, as a coach reads them.\n`));
    const failed = await show(url, examples, console.log);
    console.log(bold(`${examples.length - failed} of ${examples.length} records answered by ${url}.`));
    console.log(dim('Show some only: npm run demo -- high-head chest-sign'));
    console.log(dim('Try your own:   npm start, then open http://127.0.0.1:8080/docs'));
    if (failed > 0) process.exitCode = 1;
  } finally {
    await app.close();
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}
