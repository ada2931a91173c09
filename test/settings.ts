/** Settings of a service under test: a free port, a silent log, and no threads where nothing is asked of them. */
import { readSettings } from '../src/server/config.ts';

export const QUIET = readSettings({ PORT: '0', LOG_LEVEL: 'silent', WORKERS: '0' });
