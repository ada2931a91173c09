/** Random swimmers for grouping, and random squads of records. */
import fc, { type Arbitrary } from 'fast-check';
import type { SquadRequest } from '../../src/contract/squad.ts';
import type { Swimmer } from '../../src/squad/points.ts';
import { requests } from '../assess/arbitraries.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const share = fc.integer({ min: 40, max: 99 }).map((n) => n / 100);

/** @param causes how many different things the squad has to work on. */
export function swimmer(causes: number): Arbitrary<Swimmer> {
  const cause = fc.integer({ min: 1, max: causes }).map((n) => `cause-${n}`);
  return fc.record({
    level: fc.integer({ min: 0, max: 2 }),
    adult: fc.constantFrom(true, true, false, undefined),
    pace: fc.option(
      fc.record({
        effort: fc.constantFrom('easy', 'steady'),
        secondsPer100: fc.integer({ min: 70, max: 150 }),
      }),
      { nil: undefined },
    ),
    aims: fc
      .uniqueArray(fc.record({ cause, worth: share }), { maxLength: 2, selector: (a) => a.cause })
      .map((aims) => aims.map((a, rank) => ({ ...a, worth: rank === 0 ? a.worth : a.worth * 0.6 }))),
  });
}

export const swimmers = (minLength: number, maxLength: number): Arbitrary<Swimmer[]> =>
  fc.integer({ min: 1, max: 6 }).chain((causes) => fc.array(swimmer(causes), { minLength, maxLength }));

/** Squads of up to `most` random records, each valid for the contract and the rule set. */
export function squads(most: number): Arbitrary<SquadRequest> {
  return fc
    .record(
      {
        lanes: fc.integer({ min: 1, max: 4 }),
        minutes: fc.integer({ min: 15, max: 120 }),
        equipment: fc.subarray([...ruleSet.parts.lists.equipment]),
        members: fc.array(requests(), { minLength: 1, maxLength: most }),
      },
      { requiredKeys: ['lanes', 'minutes', 'members'] },
    )
    .map((squad) => ({
      ...squad,
      members: squad.members.map((m, i) => ({ ...m, swimmer: { ...m.swimmer, ref: `S-${i + 1}` } })),
    }));
}
