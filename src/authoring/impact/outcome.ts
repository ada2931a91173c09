/** What a swimmer and a coach notice of one answer, as little as is needed to compare two of them. */
import type { Cause, FullAnswer, PhaseScore } from '../../contract/answer.ts';
import type { Probed } from '../probe.ts';

export interface NoticedCause {
  readonly label: string;
  readonly probability: number;
  readonly word: string;
}

export interface NoticedOutcome {
  readonly status: string;
  /** By `code` or `code@side`; only those that are listed. */
  readonly causes: ReadonlyMap<string, NoticedCause>;
  readonly focus: readonly string[];
  readonly drills: readonly string[];
  /** Estimates by `arm phase`; null where there is no number. */
  readonly efficiency: ReadonlyMap<string, number | null>;
  readonly cautions: readonly string[];
}

const keyOf = (code: string, side: string): string => (side === 'body' ? code : `${code}@${side}`);
const estimate = (score: PhaseScore): number | null => (score.status === 'scored' ? score.estimate : null);

function efficiencyOf({ efficiency }: FullAnswer): Map<string, number | null> {
  const found = new Map<string, number | null>();
  for (const arm of ['left', 'right'] as const)
    for (const phase of ['catch', 'pull', 'push', 'arm'] as const)
      found.set(`${arm} ${phase}`, estimate(efficiency[arm][phase]));
  return found;
}

export function outcomeOf({ answer }: Pick<Probed, 'answer'>): NoticedOutcome {
  const cautions = answer.cautions.map((c) => c.code);
  if (answer.status === 'stop')
    return { status: 'stop', causes: new Map(), focus: [], drills: [], efficiency: new Map(), cautions };
  const noticed = (c: Cause): [string, NoticedCause] => [
    keyOf(c.code, c.side),
    { label: c.label, probability: c.probability, word: c.probabilityWord },
  ];
  return {
    status: answer.status,
    causes: new Map(answer.causes.map(noticed)),
    focus: answer.focus.map((f) => keyOf(f.cause, f.side)),
    drills: answer.drills.map((d) => d.code),
    efficiency: efficiencyOf(answer),
    cautions,
  };
}
