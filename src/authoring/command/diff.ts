/** `diff`: what differs between two folders in a coach's words, and what that changes over the cases of both. */
import type { Case } from '../cases.ts';
import { differenceOfLibraries } from '../difference/libraries.ts';
import type { Library } from '../draft/build.ts';
import { impactOf } from '../impact/impact.ts';
import { type NoticedOutcome, outcomeOf } from '../impact/outcome.ts';
import { probe } from '../probe.ts';
import { unreadable } from '../records.ts';
import { readLibrary } from './library.ts';
import type { Outcome } from './outcome.ts';

/** Changed records that are told one by one. */
const TOLD = 50;

const outcome = ({ request }: Case, { ruleSet }: Library): NoticedOutcome | undefined =>
  unreadable(request, ruleSet).length > 0 ? undefined : outcomeOf(probe(request, ruleSet));

export async function diff(from: string, to: string): Promise<Outcome> {
  const [before, after] = await Promise.all([readLibrary(from), readLibrary(to)]);
  const difference = differenceOfLibraries(before, after);
  // a case of both is run as the second has it
  const cases = [...new Map([...before.cases, ...after.cases].map((c) => [c.id, c])).values()];
  const impact = impactOf(
    cases.map((c) => ({
      record: c.id,
      title: c.title,
      before: outcome(c, before),
      after: outcome(c, after),
    })),
    TOLD,
  );
  return {
    ok: true,
    lines: [
      `${before.id} to ${after.id}: ${difference.length} changes`,
      ...difference.map((d) => `  ${d.part}: ${d.text}`),
      `what changes over ${impact.records} cases: ${impact.changed} of them answer differently`,
      ...impact.changes.flatMap((r) => [
        `  ${r.record}: ${r.title}`,
        ...r.changes.map((c) => `    ${c.kind}: ${c.text}`),
      ]),
      ...(impact.notTold > 0 ? [`  and ${impact.notTold} more`] : []),
      ...(impact.notComparable.length > 0
        ? [`  one of the two cannot read: ${impact.notComparable.join(', ')}`]
        : []),
    ],
    json: { from: before.id, to: after.id, difference, impact },
  };
}
