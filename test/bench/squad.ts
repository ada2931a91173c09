/**
 * `npm run bench:squad`: what grouping a squad costs beside assessing its members one by one without next looks. Each
 * size is timed in turns, squad and single, so that a busy machine slows both alike. Ratios are what to read.
 */
import { assess } from '../../src/assess/assess.ts';
import type { SquadMember } from '../../src/contract/squad.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { squad } from '../../src/squad/squad.ts';
import { casesOf } from '../rules/run.ts';

const TURNS = 5;
const SIZES: readonly (readonly [swimmers: number, lanes: number])[] = [
  [12, 3],
  [40, 6],
  [100, 8],
  [500, 20],
  [500, 8],
];

const [ruleSet] = (await loadAll(new URL('../../rules', import.meta.url).pathname)) as [RuleSet];
/** Records of whole looks at a swimmer, not of a single sign. */
const records = [...(await casesOf(ruleSet)).values()]
  .flat()
  .map((c) => c.request)
  .filter((r) => (r.observations?.length ?? 0) >= 5);
const membersOf = (n: number): SquadMember[] =>
  Array.from({ length: n }, (_, i) => {
    const record = records[(i * 7) % records.length] as SquadMember;
    return { ...record, options: { nextLooks: 0 }, swimmer: { ...record.swimmer, ref: `S-${i}` } };
  });

async function time(work: () => Promise<unknown>): Promise<number> {
  const from = performance.now();
  await work();
  return performance.now() - from;
}
const median = (times: number[]): number =>
  times.sort((a, b) => a - b)[Math.floor(times.length / 2)] as number;

console.log(`${records.length} different records, medians of ${TURNS} turns\n`);
for (const [swimmers, lanes] of SIZES) {
  const members = membersOf(swimmers);
  const request = { lanes, minutes: 60, members };
  const single: number[] = [];
  const grouped: number[] = [];
  for (let turn = 0; turn <= TURNS; turn++) {
    const alone = await time(async () => {
      for (const member of members) await assess(member, ruleSet);
    });
    const together = await time(() => squad(request, ruleSet));
    // the first turn warms up
    if (turn > 0) {
      single.push(alone);
      grouped.push(together);
    }
  }
  const [alone, together] = [median(single), median(grouped)];
  console.log(
    `${String(swimmers).padStart(4)} swimmers, ${String(lanes).padStart(2)} lanes: ${together.toFixed(0).padStart(6)} ms, one by one ${alone.toFixed(0).padStart(6)} ms, ratio ${(together / alone).toFixed(2)}`,
  );
}
