/**
 * Every way to fail, in one list (RFC 9457). A slug is a stable address: `/problems/{slug}` is a page that says what
 * happened and how to mend it.
 */
import { STATUS_CODES } from 'node:http';
import type { Problem, ProblemError } from '../contract/problem.ts';

interface ProblemType {
  readonly status: number;
  readonly title: string;
  readonly what: string;
  readonly mend: string;
}

export const PROBLEMS = {
  'invalid-request': {
    status: 400,
    title: 'The request does not fit the contract',
    what: 'One or more fields are missing, unknown, of the wrong type, or use a word that the rule set does not know. Nothing was assessed.',
    mend: 'Go through the list "errors": each entry names the place by a JSON Pointer, says what is wrong, and for an unknown code lists the nearest known ones.',
  },
  'malformed-json': {
    status: 400,
    title: 'The body is not JSON',
    what: 'The body is empty, is not well-formed JSON, or holds a forbidden key such as "__proto__".',
    mend: 'Send one JSON object and the header "Content-Type: application/json".',
  },
  'malformed-csv': {
    status: 400,
    title: 'The body is not CSV',
    what: 'The body is empty, is not UTF-8, or has a quotation mark that is opened and never closed.',
    mend: 'Save the spreadsheet as CSV with UTF-8, with the names of the columns in the first row.',
  },
  'too-deep': {
    status: 400,
    title: 'The body is nested too deeply',
    what: 'The JSON of the body is nested deeper than any request of this service needs.',
    mend: 'Compare the body with an example from the documentation page.',
  },
  'bad-url': {
    status: 400,
    title: 'The address is malformed',
    what: 'The path or the query cannot be decoded.',
    mend: 'Percent-encode special characters.',
  },
  'not-authenticated': {
    status: 401,
    title: 'A valid key is needed',
    what: 'This service asks for an access key, and the request has none, or one that is unknown or has expired.',
    mend: 'Send the header "Authorization: Bearer" with your key. On the documentation page press "Authorize" first. Whoever runs the service hands out keys.',
  },
  'not-allowed': {
    status: 403,
    title: 'The key does not allow this',
    what: 'The key is valid, but not for this kind of work.',
    mend: 'Ask whoever runs the service for a key with the scope that "detail" names.',
  },
  'too-many-requests': {
    status: 429,
    title: 'Too many requests',
    what: 'The key has used up its calls for this minute.',
    mend: 'Wait as many seconds as the header "Retry-After" says. For many swimmers send one batch instead of many calls.',
  },
  'not-found': {
    status: 404,
    title: 'There is nothing at this address',
    what: 'The path is unknown, or names a rule set, version, part or problem that does not exist.',
    mend: 'Open /docs for the list of addresses, or /v1/rule-sets for the rule sets.',
  },
  'method-not-allowed': {
    status: 405,
    title: 'This address does not take that method',
    what: 'The path exists, but not for this HTTP method.',
    mend: 'Use one of the methods in the header "Allow".',
  },
  'not-acceptable': {
    status: 406,
    title: 'The answer does not exist in that form',
    what: 'The header "Accept" rules out every form that this address can answer in.',
    mend: 'Accept application/json, or for a report text/html or text/markdown.',
  },
  'body-too-large': {
    status: 413,
    title: 'The body is too large',
    what: 'The request body is larger than the service accepts.',
    mend: 'Send one swimmer at a time, or a squad in parts, without film or pictures: only structured observations go in.',
  },
  'line-too-long': {
    status: 413,
    title: 'The line is too long',
    what: 'One line of a batch is longer than the service accepts. The other lines are not touched by it.',
    mend: 'End every item with a line feed, and send one swimmer a line, without film or pictures.',
  },
  'too-many-lines': {
    status: 413,
    title: 'The batch has too many lines',
    what: 'This line stands behind the last one that a batch may have. The lines before it are answered.',
    mend: 'Send the lines that are left in a batch of their own.',
  },
  'unsupported-media-type': {
    status: 415,
    title: 'The body has a type that this address does not read',
    what: 'The header "Content-Type" is missing, or names another type than the address reads.',
    mend: 'Send a type that the header "Accept-Post" of the answer names, with that "Content-Type".',
  },
  'too-costly': {
    status: 422,
    title: 'The request takes too long to answer',
    what: 'The draft, the raw data or the squad is well-formed, but the work on it was stopped, because it took longer than one request may.',
    mend: 'Send less at a time: fewer rules, templates, cases, records or body points.',
  },
  'bad-http': {
    status: 400,
    title: 'The request is not valid HTTP',
    what: 'The connection sent something that is not an HTTP request, or its headers are too large.',
    mend: 'Use an HTTP client.',
  },
  'timed-out': {
    status: 408,
    title: 'The request took too long to arrive',
    what: 'The client stopped sending before the request was complete.',
    mend: 'Send the request again.',
  },
  overloaded: {
    status: 503,
    title: 'The service is busy',
    what: 'As many requests as it can hold are waiting already. This one was not begun.',
    mend: 'Send the request again after the seconds in the header "Retry-After". It is safe: nothing is stored.',
  },
  'not-ready': {
    status: 503,
    title: 'The service cannot be trusted with a swimmer now',
    what: 'A case that a rule set brings along does not come out as it must.',
    mend: 'Send requests to another instance. Whoever runs this one finds the case in "detail".',
  },
  'shutting-down': {
    status: 503,
    title: 'The service is shutting down',
    what: 'This line of a batch was not begun, because this instance of the service is closing.',
    mend: 'Send the line again, in another batch. It is safe: nothing is stored.',
  },
  'internal-error': {
    status: 500,
    title: 'The service failed',
    what: 'Something went wrong that is not your fault. The log holds the reason under the request id.',
    mend: 'Send the request again. If it fails again, report the request id.',
  },
} as const satisfies { readonly [slug: string]: ProblemType };

export type ProblemSlug = keyof typeof PROBLEMS;

export interface ProblemParts {
  readonly detail?: string;
  readonly errors?: readonly ProblemError[];
  readonly headers?: { readonly [name: string]: string };
}

/** Thrown by handlers; the error handler turns it into an answer. */
export class HttpProblem extends Error {
  readonly slug: ProblemSlug;
  readonly detail: string | undefined;
  readonly errors: readonly ProblemError[] | undefined;
  readonly headers: { readonly [name: string]: string };

  constructor(slug: ProblemSlug, more: ProblemParts = {}) {
    super(PROBLEMS[slug].title);
    this.slug = slug;
    this.detail = more.detail;
    this.errors = more.errors;
    this.headers = more.headers ?? {};
  }
}

export function problemBody(problem: HttpProblem, requestId: string | undefined): Problem {
  const { status, title } = PROBLEMS[problem.slug];
  return {
    type: `/problems/${problem.slug}`,
    title,
    status,
    ...(problem.detail === undefined ? {} : { detail: problem.detail }),
    ...(requestId === undefined ? {} : { requestId }),
    ...(problem.errors === undefined ? {} : { errors: [...problem.errors] }),
  };
}

/** A whole HTTP answer for failures below Fastify, where there is no reply to send with. */
export function rawProblem(slug: ProblemSlug): string {
  const { status } = PROBLEMS[slug];
  const body = JSON.stringify(problemBody(new HttpProblem(slug), undefined));
  return [
    `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}`,
    'Content-Type: application/problem+json',
    `Content-Length: ${Buffer.byteLength(body)}`,
    'Cache-Control: no-store',
    'Connection: close',
    '',
    body,
  ].join('\r\n');
}
