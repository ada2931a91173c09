/** The same swim in a mirror: left and right change places everywhere, and nothing else changes. */
import type { AssessmentAnswer, PhaseScore } from '../../src/contract/answer.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';

const OTHER: Readonly<Record<string, string>> = { left: 'right', right: 'left' };
const other = (word: string): string => OTHER[word] ?? word;

/** A side itself, the side of a fact (`head-turn@left`), or the side named in a sentence, " (left)". */
function mirrorText(text: string): string {
  return other(text)
    .replace(/@(left|right)\b/g, (_, side: string) => `@${other(side)}`)
    .replace(/\((left|right)\)/g, (_, side: string) => `(${other(side)})`);
}

function mirrorAll(value: unknown): unknown {
  if (typeof value === 'string') return mirrorText(value);
  if (Array.isArray(value)) return value.map(mirrorAll);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(Object.entries(value).map(([k, v]) => [other(k), mirrorAll(v)]));
}

/** Right minus left becomes left minus right. */
function mirrorDifference(score: PhaseScore): PhaseScore {
  if (score.status !== 'scored') return score;
  return { ...score, estimate: 0 - score.estimate, low: 0 - score.high, high: 0 - score.low };
}

export function mirror(request: AssessmentRequest): AssessmentRequest {
  return mirrorAll(request) as AssessmentRequest;
}

export function mirrorAnswer(answer: AssessmentAnswer): AssessmentAnswer {
  const swapped = mirrorAll(answer) as AssessmentAnswer;
  if (swapped.status === 'stop') return swapped;
  const { efficiency } = swapped;
  return {
    ...swapped,
    efficiency: { ...efficiency, difference: mirrorDifference(efficiency.difference) },
  };
}
