/** The contract: an OpenAPI document made from the zod schemas, with named examples, and the page to try it on. */
import { readdir, readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import swagger from '@fastify/swagger';
import swaggerUi from '@fastify/swagger-ui';
import fp from 'fastify-plugin';
import { fastifyZodOpenApiPlugin, fastifyZodOpenApiTransformers } from 'fastify-zod-openapi';
import { NDJSON } from '../../contract/batch.ts';
import { PROBLEMS } from '../problems.ts';

export interface NamedExample {
  readonly summary: string;
  readonly description: string;
  readonly value: unknown;
  readonly mediaType: 'application/json' | 'text/csv' | typeof NDJSON;
}
export type Examples = Readonly<Record<string, Readonly<Record<string, NamedExample>>>>;

/** The body of an example: the request in the file itself, or the text of a file beside it. */
async function bodyOf(
  path: string,
  { request, csv }: { request?: unknown; csv?: string },
): Promise<Pick<NamedExample, 'value' | 'mediaType'>> {
  if (request !== undefined) return { value: request, mediaType: 'application/json' };
  if (csv !== undefined)
    return { value: await readFile(join(dirname(path), csv), 'utf8'), mediaType: 'text/csv' };
  return { value: await readFile(path.replace(/\.json$/, '.ndjson'), 'utf8'), mediaType: NDJSON };
}

/** Reads `openapi/examples/{operationId}/{name}.json`; a request of several lines stands beside it in `{name}.ndjson`. */
export async function readExamples(folder: string): Promise<Examples> {
  const operations = (await readdir(folder, { withFileTypes: true }))
    .filter((e) => e.isDirectory())
    .map((e) => e.name);
  const entries = await Promise.all(
    operations.sort().map(async (operation) => {
      const files = (await readdir(join(folder, operation))).filter((f) => f.endsWith('.json')).sort();
      const named = await Promise.all(
        files.map(async (file) => {
          const path = join(folder, operation, file);
          const story = JSON.parse(await readFile(path, 'utf8'));
          const { summary, description } = story;
          return [
            file.replace(/^\d+-|\.json$/g, ''),
            { summary, description, ...(await bodyOf(path, story)) } as NamedExample,
          ] as const;
        }),
      );
      return [operation, Object.fromEntries(named)] as const;
    }),
  );
  return Object.fromEntries(entries);
}

type Json = { [key: string]: unknown };

/** Bounds that only say "fits a double" are noise on the page. */
function withoutNoise(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutNoise);
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value).filter(
    ([key, v]) =>
      !(
        (key === 'maximum' && v === Number.MAX_SAFE_INTEGER) ||
        (key === 'minimum' && v === Number.MIN_SAFE_INTEGER)
      ),
  );
  return Object.fromEntries(entries.map(([key, v]) => [key, withoutNoise(v)]));
}

/** A made-up problem would teach nothing: the page shows what this status really says. */
function exemplifyProblems(responses: Record<string, Json>): void {
  for (const [status, response] of Object.entries(responses)) {
    const media = (response.content as Record<string, Json> | undefined)?.['application/problem+json'];
    const entry = Object.entries(PROBLEMS).find(([, p]) => String(p.status) === status);
    if (media === undefined || entry === undefined) continue;
    const [slug, { title }] = entry;
    media.example = { type: `/problems/${slug}`, title, status: Number(status) };
  }
}

/** OpenAPI 3.1 has no schema for a sequence of JSON values: it is a text, and the schema is that of a line. */
function asLines(content: Record<string, Json> | undefined): void {
  const media = content?.[NDJSON];
  if (media === undefined) return;
  media.schema = {
    type: 'string',
    description: 'One JSON object a line, without line breaks inside it.',
    contentMediaType: NDJSON,
    contentSchema: media.schema,
  };
}

function addExamples(document: Json, examples: Examples): Json {
  for (const methods of Object.values((document.paths ?? {}) as Record<string, Json>)) {
    for (const operation of Object.values(methods) as Json[]) {
      const named = examples[String(operation?.operationId)];
      const body = (operation?.requestBody as Json | undefined)?.content as Record<string, Json> | undefined;
      asLines(body);
      for (const response of Object.values((operation?.responses ?? {}) as Record<string, Json>))
        asLines(response.content as Record<string, Json> | undefined);
      for (const [type, media] of Object.entries(body ?? {})) {
        const fitting = Object.entries(named ?? {}).filter(([, example]) => example.mediaType === type);
        if (fitting.length > 0)
          media.examples = Object.fromEntries(
            fitting.map(([name, { mediaType: _, ...shown }]) => [name, shown]),
          );
      }
      exemplifyProblems((operation?.responses ?? {}) as Record<string, Json>);
    }
  }
  return document;
}

const DESCRIPTION = `An aid for coaches of front crawl. A record of what was seen, measured and said goes in; ranked causes with
probabilities, how much of each arm's stroke works, what to change first, drills, a session, cautions and the next look come out,
each with an explanation that adds up by hand.

**Where to begin:** open *Assess a swimmer*, choose an example and press *Execute*; then change the record and press it again. The
words to record with: take *A blank record to fill in*, or search them under *Rule sets* with *One part of a rule set, or a search
in it*.

Left and right are always the swimmer's own. Severity 0 means looked for and not there; what was not looked at is left out and counts
nothing. Answers may gain fields and codes; clients must ignore what they do not know. It is an aid to a coach, not a diagnosis; every
number says how sure it is. Nothing is stored.`;

export interface SwaggerOptions {
  readonly examples: Examples;
  readonly version: string;
}

export const swaggerPage = fp(async (app, { examples, version }: SwaggerOptions) => {
  await app.register(fastifyZodOpenApiPlugin);
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Front crawl assessment',
        version,
        description: DESCRIPTION,
        license: { name: 'Apache-2.0', identifier: 'Apache-2.0' },
      },
      servers: [{ url: '/' }],
      components: {
        securitySchemes: {
          accessKey: {
            type: 'http',
            scheme: 'bearer',
            description: 'Needed only where the service was started with access keys.',
          },
        },
      },
      tags: [
        { name: 'Assess', description: 'Start here: one record in, one explained assessment out.' },
        { name: 'Author', description: 'For those who write rules: how far to trust them.' },
        {
          name: 'Rule sets',
          description: 'The knowledge itself: what can be recorded, and the rules that read it.',
        },
        { name: 'Service', description: 'Probes, problem pages and the contract.' },
      ],
    },
    transform: (input) => {
      const output = fastifyZodOpenApiTransformers.transform(input as never);
      const { scope = 'open' } = input.route.config ?? {};
      // the empty alternative: with no keys configured nothing is asked for
      const security = scope === 'open' ? [] : [{ accessKey: [scope] }, {}];
      return { ...output, schema: { ...output.schema, security } };
    },
    transformObject: (input) =>
      withoutNoise(
        addExamples(
          fastifyZodOpenApiTransformers.transformObject(input as never) as unknown as Json,
          examples,
        ),
      ) as never,
  });
  await app.register(swaggerUi, {
    routePrefix: '/docs',
    staticCSP: false,
    uiConfig: {
      docExpansion: 'list',
      defaultModelsExpandDepth: 0,
      tryItOutEnabled: true,
      displayRequestDuration: true,
    },
    theme: {
      title: 'Front crawl assessment',
      // one document, one server: the bar and the choice of servers would only be in the way
      css: [
        {
          filename: 'page.css',
          content:
            '.topbar, .schemes-server-container { display: none !important; } .scheme-container { padding: 8px 0 !important; box-shadow: none !important; background: none !important; } .body-param__text { min-height: 28rem !important; }',
        },
      ],
    },
  });
});
