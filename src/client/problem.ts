/** The service's own description of a failure (RFC 9457), as an error. */
import type { Problem } from '../contract/problem.ts';

/** Thrown when the service answers with a problem. Failures of the connection are undici's own errors. */
export class ProblemResponse extends Error {
  readonly problem: Problem;
  readonly status: number;
  /** Seconds to wait before the next try, where the service says so. */
  readonly retryAfter: number | undefined;

  constructor(problem: Problem, retryAfter?: number) {
    super([problem.title, problem.detail].filter(Boolean).join(': '));
    this.name = 'ProblemResponse';
    this.problem = problem;
    this.status = problem.status;
    this.retryAfter = retryAfter;
  }

  /** Last part of the problem's type, such as `invalid-request`. */
  get slug(): string {
    return this.problem.type.split('/').at(-1) as string;
  }
}

/** A failure that is not a problem of the service comes from something in between, such as a proxy. */
export function problemOf(
  status: number,
  contentType: string,
  body: string,
  retryAfter?: number,
): ProblemResponse {
  const problem = contentType.startsWith('application/problem+json')
    ? (JSON.parse(body) as Problem)
    : { type: 'about:blank', title: `HTTP status ${status} without a problem description`, status };
  return new ProblemResponse(problem, retryAfter);
}
