/** Versions that are known to be unsafe never come back into the lock file. */
import { readFile } from 'node:fs/promises';
import { gte } from 'semver';
import { expect, test } from 'vitest';

const lock = JSON.parse(await readFile(new URL('../../package-lock.json', import.meta.url), 'utf8')) as {
  packages: {
    [path: string]: { version?: string; hasInstallScript?: boolean; dev?: boolean; optional?: boolean };
  };
};
const versionsOf = (name: string): string[] =>
  Object.entries(lock.packages)
    .filter(([path]) => path.endsWith(`node_modules/${name}`))
    .map(([, { version }]) => version as string);

// versions before 10.3.0 run code that stands in a path: CVE-2024-21534 and CVE-2025-1302
test('the JSON-path library of the rule engine is one that runs no code', () => {
  const versions = versionsOf('jsonpath-plus');
  expect(versions.length).toBeGreaterThan(0);
  for (const version of versions) expect(gte(version, '10.3.0'), version).toBe(true);
});

test('nothing that runs in the service runs a script when it is installed', () => {
  const scripts = Object.entries(lock.packages)
    .filter(([, p]) => p.hasInstallScript === true && p.dev !== true && p.optional !== true)
    .map(([path]) => path);
  expect(scripts).toEqual([]);
});
