/**
 * Whole assessment in process, against the same maths written plainly (plain/). The answers are compared first: the same
 * numbers, to what is left of a loop that stops at 1e-9 dB.
 */
import assert from 'node:assert/strict';
import { assess } from '../../../src/assess/assess.ts';
import { differences } from '../../assess/differences.ts';
import { allocatedBy } from '../allocated.ts';
import { inTurns, kB, ms, ratio, type Table, type Timing, times } from '../harness.ts';
import { assessPlainly } from '../plain/assess.ts';
import { readRuleBook } from '../plain/rule-book.ts';
import { numbersOf } from '../plain/same-answer.ts';
import { requestOf, requests, ruleSet } from '../subject.ts';

const TOLERANCE = 1e-7;
const book = readRuleBook(ruleSet);
const withLooks = (i: number) => ({ ...requestOf(i), options: {} });

export async function assessment(): Promise<Table> {
  for (const [i, request] of requests.entries()) {
    const ours = numbersOf(await assess(request, ruleSet));
    assert.deepEqual(differences(ours, assessPlainly(request, book), TOLERANCE), [], `record ${i}`);
  }
  for (let i = 0; i < 5; i++) {
    const ours = numbersOf(await assess(withLooks(i), ruleSet));
    assert.deepEqual(
      differences(ours, assessPlainly(withLooks(i), book), TOLERANCE),
      [],
      `looks of record ${i}`,
    );
  }
  const t = await inTurns(
    {
      service: { runs: 60, work: (i) => assess(requestOf(i), ruleSet) },
      plain: { runs: 60, work: (i) => assessPlainly(requestOf(i), book) },
      looks: { runs: 15, work: (i) => assess(withLooks(i), ruleSet) },
    },
    30,
  );
  const slow = await inTurns({ looks: { runs: 5, work: (i) => assessPlainly(withLooks(i), book) } }, 4);
  const allocated = {
    service: await allocatedBy((i) => assess(requestOf(i), ruleSet), 8),
    plain: await allocatedBy((i) => assessPlainly(requestOf(i), book), 4),
    looks: await allocatedBy((i) => assess(withLooks(i), ruleSet), 1),
  };
  const share = ratio(t.service, t.plain);
  const looks = ratio(t.looks, t.plain);
  const row = (name: string, timing: Timing, by: string, bytes: string): string[] => [
    name,
    ms(timing.p50),
    ms(timing.p99),
    by,
    bytes,
  ];
  const { candidates } = ruleSet.parts.constants.nextLook;
  return {
    title: `Whole assessment in process: ${requests.length} records of 15 looks and 4 measurements`,
    head: ['', 'p50', 'p99', 'of plain', 'allocated'],
    rows: [
      row('without next looks', t.service, times(share), kB(allocated.service)),
      row('the same maths written plainly', t.plain, times(1), kB(allocated.plain)),
      row(`with next looks, ${candidates} candidates`, t.looks, times(looks), kB(allocated.looks)),
      row('the same written plainly', slow.looks, times(slow.looks.p50 / t.plain.p50), ''),
    ],
    notes: [
      'The service also writes the words, the session, the cautions and the id; the plain version does not.',
    ],
    checks: [
      { what: 'cost without next looks, as a share of plain', value: share, atMost: 0.5 },
      { what: 'cost with next looks, in assessments written plainly', value: looks, atMost: 10 },
    ],
    data: { timings: { ...t, plainLooks: slow.looks }, share, looks, allocated },
  };
}
