/** One answer the way a coach reads it. */
import type { AssessmentAnswer } from '../../src/contract/answer.ts';
import type { Example } from '../openapi/read-examples.ts';
import { drillsSection, focusSection, sessionSection } from './advice.ts';
import { armsSection } from './arms.ts';
import { causesSection } from './causes.ts';
import { cautionsSection, looksSection, warningsSection } from './closing.ts';
import { banner, opening, summary } from './opening.ts';
import type { Words } from './words.ts';

export function printAnswer(example: Example, answer: AssessmentAnswer, words: Words): string {
  const start = [...opening(example, words), ...banner(answer), ...summary(answer)];
  const technique =
    answer.status === 'stop'
      ? []
      : [
          ...causesSection(answer),
          ...armsSection(answer.efficiency),
          ...focusSection(answer, words),
          ...drillsSection(answer),
          ...sessionSection(answer),
          ...looksSection(answer, words),
        ];
  // health comes before technique on the page as well
  const first = answer.status === 'refer' ? cautionsSection(answer) : [];
  const last = answer.status === 'refer' ? [] : cautionsSection(answer);
  return [...start, ...warningsSection(answer), ...first, ...technique, ...last].join('\n');
}
