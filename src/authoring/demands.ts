/** What a rule set must show before it may be published, and what CI asks of every one. */
import type { RulePart } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Audit } from './audit.ts';
import type { Case } from './cases.ts';
import { type CoverageSummary, type Gap, summarize } from './coverage/summary.ts';
import { type Deletion, deleteEach } from './deletions.ts';

/** The least share of rules that fire in some case, and of outcomes of their conditions that some case brings about. */
export const LEAST = { rules: 0.95, outcomes: 0.85 } as const;

/** Share of rules that may go unnoticed when they are deleted; a health or caution rule never. */
const MOST_SURVIVORS = 0.2;
const HEALTH: readonly RulePart[] = ['gate-rules', 'caution-rules'];

export const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

export interface Coverage {
  readonly summary: CoverageSummary;
  readonly neverFires: readonly Gap[];
  readonly enough: boolean;
}

export function coverageOf({ counted }: Pick<Audit, 'counted'>): Coverage {
  const summary = summarize(counted);
  return {
    summary,
    neverFires: summary.gaps.filter((g) => g.missing === 'fired'),
    enough: summary.rules.share >= LEAST.rules && summary.outcomes.share >= LEAST.outcomes,
  };
}

export interface Survivors {
  readonly rules: number;
  /** Rules that no case misses when they are deleted. */
  readonly survivors: readonly Deletion[];
  readonly few: boolean;
  /** What is asked, in words. */
  readonly demand: string;
}

export function survivorsOf(ruleSet: RuleSet, cases: readonly Case[], counted: Audit['counted']): Survivors {
  const deletions = deleteEach(ruleSet, cases, counted);
  const survivors = deletions.filter((d) => d.noticedBy === null);
  return {
    rules: deletions.length,
    survivors,
    few:
      survivors.length <= deletions.length * MOST_SURVIVORS &&
      !survivors.some((d) => HEALTH.includes(d.part)),
    demand: `at most ${percent(MOST_SURVIVORS)} of the rules may go unnoticed, and none of ${HEALTH.join(', ')}`,
  };
}

export const coverageDemand = `at least ${percent(LEAST.rules)} and ${percent(LEAST.outcomes)}`;
