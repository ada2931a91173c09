/**
 * A record of which question was answered by which rules, for those who must be able to show it later: ids and digests, one
 * JSON object a line. Nothing that was seen, said or measured is in it, and no reference to a swimmer; whoever has kept the
 * request can find its line by sending it again, because the same request has the same `decisionId`.
 */
import type { AssessmentAnswer } from '../contract/answer.ts';
import { linesTo } from './lines.ts';

export interface Decision {
  readonly decisionId: string;
  readonly ruleSet: string;
  readonly digest: string;
  readonly status: AssessmentAnswer['status'];
}

export const decisionOf = ({ decisionId, ruleSet, status }: AssessmentAnswer): Decision => ({
  decisionId,
  ruleSet: `${ruleSet.name}@${ruleSet.version}`,
  digest: ruleSet.digest,
  status,
});

export interface DecisionLog {
  /** @param requestId of the HTTP request, as in the log. */
  write(requestId: string, decision: Decision): void;
  /** Writes what waits. */
  close(): void;
}

/**
 * @param path of a file that is added to, made where it is not there.
 * @param onError is told once when it cannot be written: the answers go out all the same.
 * @throws Error when it cannot be opened.
 */
export function openDecisionLog(path: string, onError: (error: Error) => void): DecisionLog {
  let told = false;
  const lines = linesTo(path, (error) => {
    if (!told) onError(error);
    told = true;
  });
  return {
    write: (requestId, decision) =>
      lines.write(`${JSON.stringify({ time: new Date().toISOString(), requestId, ...decision })}\n`),
    close: () => lines.close(),
  };
}
