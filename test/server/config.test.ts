/** Settings: defaults, and every mistake named at once. */
import { availableParallelism } from 'node:os';
import { describe, expect, test } from 'vitest';
import { readSettings } from '../../src/server/config.ts';
import { README, readBlock } from '../docs-blocks.ts';
import { settingsTable } from '../settings-table.ts';
import { runToEnd } from './process.ts';

const WRONG = {
  HOST: '',
  PORT: '70000',
  LOG_LEVEL: 'loud',
  BODY_LIMIT_BYTES: 'big',
  BODY_TIMEOUT_MS: '0',
  WORKERS: '-1',
  QUEUE_LIMIT: '1e3',
  BATCH_LIMIT: '0',
  BATCH_LINES: '',
  BATCH_LINE_LIMIT_BYTES: '1',
  BATCH_BODY_LIMIT_BYTES: '1MB',
};
const MIB = 1024 * 1024;

describe('settings', () => {
  test('an empty environment gives a service on loopback', () => {
    expect(readSettings({})).toEqual({
      HOST: '127.0.0.1',
      PORT: 8080,
      LOG_LEVEL: 'info',
      BODY_LIMIT_BYTES: MIB,
      BODY_TIMEOUT_MS: 30_000,
      WORKERS: availableParallelism(),
      QUEUE_LIMIT: 256,
      BATCH_LIMIT: 4,
      BATCH_LINES: 100_000,
      BATCH_LINE_LIMIT_BYTES: MIB,
      BATCH_BODY_LIMIT_BYTES: 32 * MIB,
      OPEN_ACCESS: false,
      CORS_ORIGINS: [],
      CALLS_PER_MINUTE: 600,
    });
  });

  test('what is set is used, and other variables are no settings', () => {
    const env = {
      HOST: '::1',
      PORT: '0',
      LOG_LEVEL: 'silent',
      BODY_LIMIT_BYTES: '2048',
      WORKERS: '0',
      PATH: '/bin',
    };
    const set = { HOST: '::1', PORT: 0, LOG_LEVEL: 'silent', BODY_LIMIT_BYTES: 2048, WORKERS: 0 };
    expect(readSettings(env)).toEqual({ ...readSettings({}), ...set });
  });

  test('all wrong settings are named at once', () => {
    let message = '';
    try {
      readSettings(WRONG);
    } catch (error) {
      message = (error as Error).message;
    }
    const named = message.split('\n').slice(1);
    expect(named.map((line) => line.trim().split(':')[0])).toEqual(Object.keys(WRONG));
  });

  test.each([
    ['PORT', ['-1', '65536', '80.5', 'http', '', ' ', 'NaN', 'Infinity']],
    ['LOG_LEVEL', ['', 'INFO', 'verbose']],
    ['BODY_LIMIT_BYTES', ['1023', '67108865', '1.5e3.', '', 'Infinity']],
    ['HOST', ['']],
    ['BODY_TIMEOUT_MS', ['99', '600001', '1s', '']],
    ['WORKERS', ['257', '1.5', 'all', '']],
    ['QUEUE_LIMIT', ['-1', '100001', '']],
    ['BATCH_LIMIT', ['0', '1001', '']],
    ['BATCH_LINES', ['0', '10000001', '']],
    ['BATCH_LINE_LIMIT_BYTES', ['1023', '67108865', '']],
    ['BATCH_BODY_LIMIT_BYTES', ['1023', '1073741825', '']],
  ])('%s refuses %j', (name, values) => {
    for (const value of values) {
      expect(() => readSettings({ [name]: value }), JSON.stringify(value)).toThrow(`  ${name}: `);
    }
  });

  test('the program says so, without a stack, and ends with 1', async () => {
    const { code, printed } = await runToEnd(WRONG);
    expect(code).toBe(1);
    const lines = printed.trimEnd().split('\n');
    expect(lines).toHaveLength(1 + Object.keys(WRONG).length);
    for (const name of Object.keys(WRONG)) expect(printed).toContain(`  ${name}: `);
  });
});

test('the table in the README is the one that the schema gives; `npm run settings` writes it', async () => {
  expect(await readBlock(README, 'settings')).toBe(settingsTable());
});
