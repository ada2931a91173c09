/** The service as functions: one for each operation, typed by the contract. */
import type { AgreementAnswer, AgreementRequest } from '../contract/agreement.ts';
import type { AssessmentAnswer } from '../contract/answer.ts';
import type { BatchItem, BatchLine } from '../contract/batch.ts';
import type { ComparisonAnswer, ComparisonRequest } from '../contract/comparison.ts';
import type {
  CheckAnswer,
  CheckRequest,
  FitAnswer,
  LabelledRequest,
  ScoreAnswer,
  TryAnswer,
  TryRequest,
} from '../contract/drafts.ts';
import type { MeasurementsAnswer, MeasurementsRequest } from '../contract/measurements.ts';
import type { PlanAnswer, PlanRequest } from '../contract/plan.ts';
import type { AssessmentRequest } from '../contract/request.ts';
import type { SquadAnswer, SquadRequest } from '../contract/squad.ts';
import { assessMany, type BatchOptions } from './batch.ts';
import { createHttp } from './http.ts';
import type { CallOptions, ClientOptions } from './options.ts';

/** A report as a page or as text. */
export interface ReportOptions extends CallOptions {
  readonly form: 'text/html' | 'text/markdown';
  /** @default 'coach' */
  readonly audience?: 'coach' | 'swimmer';
}

/**
 * Every call rejects with a `ProblemResponse` when the service answers with a problem, with the reason of the signal when it
 * is aborted, with a `TimeoutError` when the time is up, and with undici's error when there is no answer.
 */
export interface Client {
  readonly assess: (request: AssessmentRequest, options?: CallOptions) => Promise<AssessmentAnswer>;
  /** The assessment as a report. */
  readonly assessmentReport: (request: AssessmentRequest, options: ReportOptions) => Promise<string>;
  /**
   * Many assessments over one stream: items are fetched as fast as answers are taken. After a broken connection the items
   * without an answer are sent again.
   */
  readonly assessMany: (
    items: Iterable<BatchItem> | AsyncIterable<BatchItem>,
    options?: BatchOptions,
  ) => AsyncGenerator<BatchLine, void, void>;
  readonly measure: (request: MeasurementsRequest, options?: CallOptions) => Promise<MeasurementsAnswer>;
  readonly compare: (request: ComparisonRequest, options?: CallOptions) => Promise<ComparisonAnswer>;
  readonly plan: (request: PlanRequest, options?: CallOptions) => Promise<PlanAnswer>;
  readonly squad: (request: SquadRequest, options?: CallOptions) => Promise<SquadAnswer>;
  readonly agreement: (request: AgreementRequest, options?: CallOptions) => Promise<AgreementAnswer>;
  /** A draft of the rules travels in the request and is never stored. */
  readonly checkDraft: (request: CheckRequest, options?: CallOptions) => Promise<CheckAnswer>;
  readonly tryDraft: (request: TryRequest, options?: CallOptions) => Promise<TryAnswer>;
  readonly scoreDraft: (request: LabelledRequest, options?: CallOptions) => Promise<ScoreAnswer>;
  readonly fitDraft: (request: LabelledRequest, options?: CallOptions) => Promise<FitAnswer>;
  /** An empty record with every code that these views can show. */
  readonly blankRecord: (
    ruleSet: { readonly name: string; readonly version: string; readonly views?: readonly string[] },
    options?: CallOptions,
  ) => Promise<unknown>;
  /** Lets running calls end and closes the connections. */
  readonly close: () => Promise<void>;
}

export function createClient(options: ClientOptions): Client {
  const http = createHttp(options);
  const post =
    <Request, Answer>(path: string) =>
    async (body: Request, more: CallOptions = {}): Promise<Answer> =>
      JSON.parse(await http.text({ method: 'POST', path, body, ...more })) as Answer;
  return {
    assess: post('/v1/assessments'),
    assessmentReport: (body, { form, audience = 'coach', ...more }) =>
      http.text({
        method: 'POST',
        path: `/v1/assessments?audience=${audience}`,
        body,
        accept: form,
        ...more,
      }),
    assessMany: (items, more = {}) => assessMany(http, options.retries ?? 3, items, more),
    measure: post('/v1/measurements'),
    compare: post('/v1/comparisons'),
    plan: post('/v1/plans'),
    squad: post('/v1/squads'),
    agreement: post('/v1/agreement'),
    checkDraft: post('/v1/drafts/check'),
    tryDraft: post('/v1/drafts/try'),
    scoreDraft: post('/v1/drafts/score'),
    fitDraft: post('/v1/drafts/fit'),
    async blankRecord({ name, version, views = [] }, more = {}) {
      const query = views.length === 0 ? '' : `?views=${encodeURIComponent(views.join(','))}`;
      const path = `/v1/rule-sets/${encodeURIComponent(name)}/${encodeURIComponent(version)}/blank-record${query}`;
      return JSON.parse(await http.text({ method: 'GET', path, ...more })) as unknown;
    },
    close: http.close,
  };
}
