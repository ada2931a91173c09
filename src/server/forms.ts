/** The forms an answer can take: data, or a report to print or to read. */
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { Audience } from '../report/audience.ts';
import type { Report } from '../report/document.ts';
import { toHtml } from '../report/html.ts';
import { toMarkdown } from '../report/markdown.ts';
import { readQuery } from './input.ts';
import { HttpProblem } from './problems.ts';

const FORMS = ['application/json', 'text/html', 'text/markdown'] as const;
export type Form = (typeof FORMS)[number];

export const ReportQuery = z.object({
  audience: z
    .enum(['coach', 'swimmer'])
    .optional()
    .describe(
      'For a report (text/html or text/markdown): with all reasons for the coach, or plain for the swimmer. Left out: coach.',
    ),
});

/** The other forms of a 200 answer, for the contract. */
export const REPORT_CONTENT = {
  'text/html': {
    schema: z.string().describe('One self-contained page to print: no script, nothing from outside.'),
  },
  'text/markdown': { schema: z.string().describe('The same report as text.') },
} as const;

/** @throws HttpProblem when the client refuses every form. */
export function formOf(request: FastifyRequest): Form {
  // a client that names nothing wants data; browsers that accept anything are given data too
  const form = request.headers.accept === undefined ? FORMS[0] : request.accepts().type([...FORMS]);
  if (form === false || Array.isArray(form))
    throw new HttpProblem('not-acceptable', { detail: `This address answers in ${FORMS.join(', ')}.` });
  return form as Form;
}

export type ReportForm = Exclude<Form, 'application/json'>;

/** What a task needs to know of the form that was asked for. */
export interface Asked {
  readonly form: Form;
  readonly audience: Audience;
}

/** @returns the answer as it was asked for: data, or the report that is written only then. */
export function write({ form }: Asked, answer: unknown, report: () => Report): string {
  if (form === 'application/json') return JSON.stringify(answer);
  return form === 'text/html' ? toHtml(report()) : toMarkdown(report());
}

/** @throws HttpProblem for a form that there is not, or a wrong audience. */
export function askedOf(request: FastifyRequest): Asked {
  const form = formOf(request);
  const { audience = 'coach' } = readQuery(ReportQuery, request.query);
  return { form, audience };
}

/** Sends data that a task wrote. */
export function sendData(reply: FastifyReply, bytes: Uint8Array<ArrayBuffer>): FastifyReply {
  return reply
    .header('cache-control', 'no-store')
    .type('application/json; charset=utf-8')
    .send(Buffer.from(bytes.buffer));
}

/** Sends what a task wrote. Reports are downloads: the documentation page then offers them as a file. */
export function send(
  reply: FastifyReply,
  bytes: Uint8Array<ArrayBuffer>,
  { form, audience }: Asked,
  name: string,
): FastifyReply {
  if (form === 'application/json') return sendData(reply, bytes);
  const ending = form === 'text/html' ? 'html' : 'md';
  return reply
    .header('cache-control', 'no-store')
    .type(`${form}; charset=utf-8`)
    .header('content-disposition', `attachment; filename="${name}-${audience}.${ending}"`)
    .send(Buffer.from(bytes.buffer));
}
