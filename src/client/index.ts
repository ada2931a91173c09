/** What the package offers: a client, its errors, and the types of the contract. */
export type * from '../contract/agreement.ts';
export type * from '../contract/answer.ts';
export type * from '../contract/batch.ts';
export type * from '../contract/calibration.ts';
export type { Arm, Certainty, Goal, Level, Side, View } from '../contract/common.ts';
export type { ComparisonAnswer, ComparisonRequest } from '../contract/comparison.ts';
export type * from '../contract/drafts.ts';
export type { MeasurementsAnswer, MeasurementsRequest } from '../contract/measurements.ts';
export type { PlanAnswer, PlanRequest } from '../contract/plan.ts';
export type { Problem, ProblemError } from '../contract/problem.ts';
export type { AssessmentRequest } from '../contract/request.ts';
export type { SquadAnswer, SquadRequest } from '../contract/squad.ts';
export type { BatchOptions } from './batch.ts';
export { type Client, createClient, type ReportOptions } from './client.ts';
export type { CallOptions, ClientOptions } from './options.ts';
export { ProblemResponse } from './problem.ts';
