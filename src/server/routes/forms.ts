/** The forms an answer can take: data, or a report to print or to read. */
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { Report } from '../../report/document.ts';
import { toHtml } from '../../report/html.ts';
import { toMarkdown } from '../../report/markdown.ts';
import { HttpProblem } from '../problems.ts';

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
export type ReportQuery = z.infer<typeof ReportQuery>;

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

export function writeReport(form: ReportForm, report: Report): string {
  return form === 'text/html' ? toHtml(report) : toMarkdown(report);
}

/** Reports are downloads: the documentation page then offers them as a file. */
export function asDownload(reply: FastifyReply, form: ReportForm, name: string): FastifyReply {
  const ending = form === 'text/html' ? 'html' : 'md';
  return reply
    .type(`${form}; charset=utf-8`)
    .header('content-disposition', `attachment; filename="${name}.${ending}"`)
    .serializer((x: unknown) => x as string);
}

export function sendReport(
  reply: FastifyReply,
  form: ReportForm,
  report: Report,
  name: string,
): FastifyReply {
  return asDownload(reply, form, name).send(writeReport(form, report));
}
