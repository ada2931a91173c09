/** Films of an invented swimmer, and questions to the answer of a comparison. */
import { compare } from '../../src/compare/compare.ts';
import { type Change, ComparisonRequest, type FullComparison } from '../../src/contract/comparison.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { ruleSet } from '../assess/front-crawl.ts';

type Seen = NonNullable<AssessmentRequest['observations']>[number];
type Measured = NonNullable<AssessmentRequest['measurements']>[number];

export interface Shot {
  readonly at?: string;
  readonly seen?: readonly Partial<Seen>[];
  readonly measured?: readonly Measured[];
  readonly recording?: AssessmentRequest['recording'];
  readonly health?: AssessmentRequest['health'];
  readonly swimmer?: Partial<AssessmentRequest['swimmer']>;
}

export const FIRST = '2026-01-05T10:00:00Z';
export const SECOND = '2026-02-16T10:00:00Z';

/** Each entry is a sure look at low hips from the side, unless it says otherwise. */
export function record(shot: Shot, at: string): ComparisonRequest['records'][number] {
  const { seen = [], measured = [], recording, health, swimmer } = shot;
  return {
    at: shot.at ?? at,
    request: {
      swimmer: { level: 'intermediate', ...swimmer },
      ...(health === undefined ? {} : { health }),
      recording: { views: ['side-under', 'front-under', 'rear'], paceSecondsPer100: 100, ...recording },
      observations: seen.map((o) => ({
        code: 'hips-low',
        severity: 2,
        certainty: 'sure',
        view: 'side-under',
        observer: 'A',
        ...o,
      })),
      measurements: [...measured],
    },
  };
}

type More = Omit<ComparisonRequest, 'records'>;

export const pairOf = (before: Shot, after: Shot, more: More = {}): ComparisonRequest => ({
  records: [record(before, FIRST), record(after, SECOND)],
  ...more,
});

/** @throws Error when the comparison stopped or the request does not fit the contract. */
export async function compared(request: unknown): Promise<FullComparison> {
  const answer = await compare(ComparisonRequest.parse(request), ruleSet);
  if ('stopped' in answer || answer.status === 'stop') throw new Error('no health sign was given');
  return answer;
}

export function changeOf(answer: FullComparison, kind: Change['kind'], code: string, side = 'body'): Change {
  const found = answer.changes.find((c) => c.kind === kind && c.code === code && c.side === side);
  if (found === undefined) throw new Error(`no change of the ${kind} ${code} (${side})`);
  return found;
}

export const comparePair = (before: Shot, after: Shot, more: More = {}): Promise<FullComparison> =>
  compared(pairOf(before, after, more));
