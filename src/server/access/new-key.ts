/** `npm run new-key -- --id club-a --scopes assess,read [--expires 2027-01-01T00:00:00Z]`: a key, and its entry for the file. */
import { parseArgs } from 'node:util';
import { newKey, SCOPES } from './keys.ts';

const { values } = parseArgs({
  options: { id: { type: 'string' }, scopes: { type: 'string' }, expires: { type: 'string' } },
});
const scopes = (values.scopes ?? '').split(',');
if (values.id === undefined || !scopes.every((s) => (SCOPES as readonly string[]).includes(s))) {
  console.error(`usage: npm run new-key -- --id club-a --scopes ${SCOPES.join(',')} [--expires date-time]`);
  process.exitCode = 1;
} else {
  const { key, sha256 } = newKey();
  const entry = {
    id: values.id,
    sha256,
    scopes,
    ...(values.expires === undefined ? {} : { expires: values.expires }),
  };
  console.log(`Give this key to the caller; it is not shown again:\n\n  ${key}\n`);
  console.log(
    `Add this entry to the list in the file of ACCESS_KEYS_FILE:\n\n${JSON.stringify(entry, null, 2)}`,
  );
}
