/** What must fit across the records of a comparison: one rule set, one swimmer, the order of time. */
import type { ComparisonRequest } from '../../contract/comparison.ts';
import type { ProblemError } from '../../contract/problem.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { checkPractised } from '../../knowledge/vocabulary.ts';
import { ruleSetOf } from '../rule-set-of.ts';

type Loose = { records?: { request?: unknown }[]; between?: unknown };

/** One rule set for all records: a change must not come from a change of the rules. */
export function rulesForAll(
  body: unknown,
  catalogue: Catalogue,
): { ruleSet: RuleSet | undefined; errors: ProblemError[] } {
  const { records, between } = (body ?? {}) as Loose;
  const list = Array.isArray(records) ? records : [];
  const asked = list.map((r, i) => ({ i, ...ruleSetOf(r?.request, catalogue, `/records/${i}/request`) }));
  const first = asked[0]?.ruleSet ?? catalogue.resolve(undefined);
  const others = asked
    .filter((a) => a.ruleSet !== undefined && a.ruleSet !== first)
    .map((a) => ({
      pointer: `/records/${a.i}/request/ruleSet`,
      code: 'other-rule-set',
      message: 'all records must use one rule set',
    }));
  const practised = first === undefined ? [] : checkPractised(between, first);
  return {
    ruleSet: first,
    errors: [...asked.flatMap((a) => a.errors), ...others, ...(practised as ProblemError[])],
  };
}

function outOfOrder({ records }: ComparisonRequest): ProblemError[] {
  return records.flatMap((r, i) => {
    const before = records[i - 1];
    return before !== undefined && Date.parse(r.at) < Date.parse(before.at)
      ? [{ pointer: `/records/${i}/at`, code: 'out-of-order', message: 'records must stand in time order' }]
      : [];
  });
}

/** Two references cannot be one swimmer; a record without one may be anybody's. */
function otherSwimmer({ records }: ComparisonRequest): ProblemError[] {
  const first = records.find((r) => r.request.swimmer.ref !== undefined)?.request.swimmer.ref;
  return records.flatMap(({ request: { swimmer } }, i) =>
    swimmer.ref === undefined || swimmer.ref === first
      ? []
      : [
          {
            pointer: `/records/${i}/request/swimmer/ref`,
            code: 'other-swimmer',
            message: `all records must be of one swimmer; the first one is of "${first}"`,
          },
        ],
  );
}

/** @returns what is wrong between records that are right by themselves. */
export const acrossRecords = (request: ComparisonRequest): ProblemError[] => [
  ...outOfOrder(request),
  ...otherSwimmer(request),
];
