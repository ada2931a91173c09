/** Starts the service and closes it gracefully. */
import closeWithGrace from 'close-with-grace';
import { readSettings } from './server/config.ts';
import { start } from './server/start.ts';

try {
  const { app, url } = await start(readSettings(process.env));
  app.log.info(`documentation: ${url}/docs`);
  closeWithGrace({ delay: 10_000 }, async ({ err }) => {
    if (err) app.log.error({ err }, 'closing after an error');
    await app.close();
  });
} catch (error) {
  // settings and rule sets say what is wrong in their message; a stack would only hide it
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}
