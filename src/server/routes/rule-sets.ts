/** GET /v1/rule-sets and its parts: the knowledge, cacheable by content. */
import type { FastifyPluginAsync, FastifyReply, FastifyRequest } from 'fastify';
import type { FastifyZodOpenApiSchema } from 'fastify-zod-openapi';
import { z } from 'zod';
import { View } from '../../contract/common.ts';
import { blankRecord } from '../../knowledge/blank-record.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import { digestOf } from '../../knowledge/digest.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { SEARCHABLE, type Searchable, search } from '../../knowledge/search.ts';
import { invalid } from '../input.ts';
import { HttpProblem } from '../problems.ts';
import { problemResponses } from './responses.ts';

const RuleSetSummary = z
  .object({
    name: z.string(),
    version: z.string(),
    status: z.string(),
    title: z.string(),
    digest: z.string(),
    parts: z.array(z.string()),
  })
  .meta({ id: 'RuleSetSummary' });

const json = <T extends z.ZodType>(description: string, schema: T) => ({
  description,
  content: { 'application/json': { schema } },
});

function summary({ manifest, digest }: RuleSet): z.infer<typeof RuleSetSummary> {
  const { name, version, status, title, parts } = manifest;
  return { name, version, status, title, digest, parts: ['rule-set', ...parts, 'texts', 'glossary'] };
}

function partOf(ruleSet: RuleSet, part: string): unknown {
  if (part === 'rule-set') return ruleSet.manifest;
  if (part === 'texts') return ruleSet.texts;
  if (part === 'glossary') return ruleSet.texts.glossary;
  return Object.hasOwn(ruleSet.parts, part) ? ruleSet.parts[part as keyof RuleSet['parts']] : undefined;
}

function isSearchable(part: string): part is Searchable {
  return (SEARCHABLE as readonly string[]).includes(part);
}

/** Strong ETag by content. A published version never changes; a draft may, so it is revalidated. */
function sendTagged(
  request: FastifyRequest,
  reply: FastifyReply,
  body: unknown,
  immutable: boolean,
): FastifyReply {
  const tag = `"${digestOf(body)}"`;
  reply
    .header('etag', tag)
    .header('cache-control', immutable ? 'public, max-age=31536000, immutable' : 'no-cache');
  const given = request.headers['if-none-match'];
  const fresh = given === '*' || given?.split(',').some((t) => t.trim().replace(/^W\//, '') === tag);
  return fresh ? reply.code(304).send() : reply.send(body);
}

/** Answered instead of the content to a request with `If-None-Match` (RFC 9110 section 15.4.5). */
const NOT_CHANGED = { description: 'The content is still the one whose ETag was sent.' };

export const ruleSets =
  (catalogue: Catalogue): FastifyPluginAsync =>
  async (app) => {
    const find = (name: string, version: string): RuleSet => {
      const found = catalogue.versionsOf(name).find((s) => s.manifest.version === version);
      if (found === undefined) throw missing(name, version);
      return found;
    };
    const missing = (name: string, version?: string): HttpProblem => {
      const versions = catalogue.versionsOf(name).map((s) => s.manifest.version);
      const detail =
        versions.length === 0
          ? `There is no rule set "${name}" here; there is ${catalogue.names.join(', ')}.`
          : `There is no version "${version}" of ${name} here; there is ${versions.join(', ')}.`;
      return new HttpProblem('not-found', { detail });
    };
    const published = (ruleSet: RuleSet): boolean => ruleSet.manifest.status === 'published';
    const describe = (operationId: string, text: string, description: string, tag = 'Rule sets') => ({
      operationId,
      tags: [tag],
      summary: text,
      description,
    });

    app.get(
      '/v1/rule-sets',
      {
        config: { scope: 'read' },
        schema: {
          ...describe(
            'listRuleSets',
            'List the rule sets',
            'Every version that is served here, newest first.',
          ),
          response: {
            200: json('The rule sets.', z.object({ ruleSets: z.array(RuleSetSummary) })),
            304: NOT_CHANGED,
            ...problemResponses(408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const body = { ruleSets: catalogue.names.flatMap((name) => catalogue.versionsOf(name).map(summary)) };
        return sendTagged(request, reply, body, false);
      },
    );

    const Name = z.object({
      name: z.string().meta({ description: 'Name of a rule set.', param: { example: 'front-crawl' } }),
    });
    app.get(
      '/v1/rule-sets/:name',
      {
        config: { scope: 'read' },
        schema: {
          ...describe(
            'listVersions',
            'List the versions of a rule set',
            'Every version that is served, newest first.',
          ),
          params: Name,
          response: {
            200: json('The versions.', z.object({ versions: z.array(RuleSetSummary) })),
            304: NOT_CHANGED,
            ...problemResponses(404, 408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { name } = request.params as z.infer<typeof Name>;
        const versions = catalogue.versionsOf(name).map(summary);
        if (versions.length === 0) throw missing(name);
        return sendTagged(request, reply, { versions }, false);
      },
    );

    const Version = Name.extend({
      version: z.string().meta({ description: 'Exact version.', param: { example: '1.0.0' } }),
    });
    app.get(
      '/v1/rule-sets/:name/:version',
      {
        config: { scope: 'read' },
        schema: {
          ...describe('getVersion', 'One version of a rule set', 'Its digest and the names of its parts.'),
          params: Version,
          response: {
            200: json('The version.', RuleSetSummary),
            304: NOT_CHANGED,
            ...problemResponses(404, 408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { name, version } = request.params as z.infer<typeof Version>;
        const found = find(name, version);
        return sendTagged(request, reply, summary(found), published(found));
      },
    );

    const BlankQuery = z.object({
      views: z
        .string()
        .optional()
        .describe(
          'Views in hand, separated by commas: overhead, side-above, side-under, front-under, rear, land-test, pool-probe, self-report. Left out: all.',
        ),
    });
    app.get(
      '/v1/rule-sets/:name/:version/blank-record',
      {
        config: { scope: 'read' },
        schema: {
          ...describe(
            'blankRecord',
            'A blank record to fill in',
            'An assessment request that holds every observation that the given views can show, with severity 0. Change what you saw and delete what you did not look at.',
            'Assess',
          ),
          params: Version,
          querystring: BlankQuery,
          response: {
            200: json('A record to fill in.', z.record(z.string(), z.unknown())),
            304: NOT_CHANGED,
            ...problemResponses(400, 404, 408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { name, version } = request.params as z.infer<typeof Version>;
        const { views } = request.query as z.infer<typeof BlankQuery>;
        const found = find(name, version);
        const asked = views === undefined ? undefined : views.split(',').map((v) => v.trim());
        const wrong = (asked ?? []).filter((v) => !View.safeParse(v).success);
        if (wrong.length > 0) {
          throw invalid(
            wrong.map((v) => ({
              pointer: 'views',
              code: 'not-allowed',
              message: `"${v}" is not a view`,
              suggestions: View.options,
            })),
          );
        }
        return sendTagged(
          request,
          reply,
          blankRecord(found, asked as z.infer<typeof View>[] | undefined),
          published(found),
        );
      },
    );

    const Part = Version.extend({
      part: z
        .string()
        .describe(
          'Name of a part, such as observations, measurements, causes, links, drills, texts or glossary.',
        ),
    });
    const Search = z.object({
      q: z
        .string()
        .max(200)
        .optional()
        .describe(
          'Words to look for in observations, measurements, causes, drills or the glossary, such as: elbow drop.',
        ),
      view: View.optional().describe('Only observations that this view can show.'),
    });
    app.get(
      '/v1/rule-sets/:name/:version/:part',
      {
        config: { scope: 'read' },
        schema: {
          ...describe(
            'getPart',
            'One part of a rule set, or a search in it',
            'The part as the rule author wrote it. With q or view: the matching entries of observations, measurements, causes, drills or the glossary together with their texts, best match first.',
          ),
          params: Part,
          querystring: Search,
          response: {
            200: json('The part, or what was found in it.', z.unknown()),
            304: NOT_CHANGED,
            ...problemResponses(400, 404, 408, 500),
          },
        } satisfies FastifyZodOpenApiSchema,
      },
      async (request, reply) => {
        const { name, version, part } = request.params as z.infer<typeof Part>;
        const query = request.query as z.infer<typeof Search>;
        const found = find(name, version);
        const body = partOf(found, part);
        if (body === undefined) {
          throw new HttpProblem('not-found', {
            detail: `${name}@${version} has no part "${part}"; its parts are ${summary(found).parts.join(', ')}.`,
          });
        }
        const searched = query.q !== undefined || query.view !== undefined;
        if (searched && !isSearchable(part)) {
          const message = `only ${SEARCHABLE.join(', ')} can be searched`;
          throw invalid([{ pointer: query.q === undefined ? 'view' : 'q', code: 'not-searchable', message }]);
        }
        if (query.view !== undefined && part !== 'observations') {
          const message = 'only observations are tied to a view';
          throw invalid([{ pointer: 'view', code: 'not-searchable', message }]);
        }
        const answer = searched ? { found: search(found, part as Searchable, query) } : body;
        return sendTagged(request, reply, answer, published(found));
      },
    );
  };
