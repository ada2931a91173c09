/** Who it is, what was recorded, and first of all whether this answer is about technique at all. */
import type { AssessmentAnswer } from '../../src/contract/answer.ts';
import type { Example } from '../openapi/read-examples.ts';
import { alert, bold, dim } from './paint.ts';
import { apart, hang, sideWord, WIDTH, wrap } from './text.ts';
import { fromView, type Words } from './words.ts';

const count = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;

function recorded({ request }: Example, words: Words): string {
  const { swimmer, recording, observations, measurements } = request;
  const views = [...new Set([...(recording?.views ?? []), ...(recording?.clips ?? []).map((c) => c.view)])];
  return [
    [swimmer.level, swimmer.age && `${swimmer.age} years`, swimmer.goal?.replaceAll('-', ' ')]
      .filter(Boolean)
      .join(', '),
    [
      observations && count(observations.length, 'observation'),
      measurements && count(measurements.length, 'measurement'),
    ]
      .filter(Boolean)
      .join(', '),
    views.length > 0 ? `filmed ${views.map((v) => fromView(v, words)).join(', ')}` : '',
  ]
    .filter((part) => part !== '')
    .join('; ');
}

export function opening(example: Example, words: Words): string[] {
  const rule = '━'.repeat(WIDTH);
  const number = String(example.number).padStart(2);
  const who = `${example.request.swimmer.ref ?? 'no reference'} (invented)`;
  return [
    rule,
    bold(apart(` ${number}  ${example.summary}`, `${who} `)),
    rule,
    ...wrap(example.description, WIDTH - 5).map((line) => `     ${line}`),
    ...hang('     ', recorded(example, words)).map(dim),
    '',
  ];
}

/** The line that comes before everything else when the answer is not simply "ok". */
export function banner(answer: AssessmentAnswer): string[] {
  if (answer.status === 'ok') return [];
  const lines = {
    stop: () => ' STOP  No technique now: the caution below comes first. ',
    refer: () => {
      const parts = answer.status === 'refer' ? answer.restrictions : [];
      const names = parts.map((r) => r.bodyPart + sideWord(r.side)).join(', ');
      return `REFER  A clinician first. Nothing below loads: ${names}.`;
    },
    'ask-more': () => 'ASK MORE  The record cannot carry a conclusion yet; what follows is provisional.',
  };
  return [alert(answer.status, lines[answer.status]()), ''];
}

export const summary = (answer: AssessmentAnswer): string[] => [...wrap(answer.summary, WIDTH).map(bold), ''];
