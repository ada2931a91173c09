/**
 * `npm run test:rules`: every case of every rule set, one line each, and the records that were written without
 * sight of the rules, whose hit rate is printed as it is found.
 */
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { assess } from '../../src/assess/assess.ts';
import { Case, checkCase } from '../../src/authoring/cases.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';
import { deleteEach } from './delete-each.ts';

const ROOT = new URL('../../rules', import.meta.url).pathname;

/** Cases of a rule set, by file name. */
export async function casesOf(ruleSet: RuleSet): Promise<Map<string, Case[]>> {
  const folder = join(ROOT, ruleSet.manifest.name, ruleSet.manifest.version, 'cases');
  const files = (await readdir(folder)).filter((f) => f.endsWith('.json')).sort();
  return new Map(
    await Promise.all(
      files.map(
        async (f) => [f, z.array(Case).parse(JSON.parse(await readFile(join(folder, f), 'utf8')))] as const,
      ),
    ),
  );
}

/** Share of rules that may go unnoticed when they are deleted; a health or caution rule never. */
const MOST_SURVIVORS = 0.2;
const HEALTH: readonly string[] = ['gate-rules', 'caution-rules'];

const BlindRecord = z.object({
  id: z.string(),
  title: z.string(),
  request: AssessmentRequest,
  expected: z.array(z.object({ code: z.string(), side: z.enum(['left', 'right']).optional() })).min(1),
});

/** Records written from the vocabulary alone. Nothing is tuned to them. */
export async function blindHits(
  ruleSet: RuleSet,
): Promise<{ id: string; title: string; expected: string; place: number; causes: string[] }[]> {
  const raw = JSON.parse(await readFile(new URL('blind-records.json', import.meta.url), 'utf8'));
  return Promise.all(
    z
      .array(BlindRecord)
      .parse(raw)
      .map(async ({ id, title, request, expected }) => {
        const answer = await assess(request, ruleSet);
        const causes = answer.status === 'stop' ? [] : answer.causes;
        const place =
          causes.findIndex((c) => expected.some((e) => e.code === c.code && (e.side ?? 'body') === c.side)) +
          1;
        const name = (c: { code: string; side?: string | undefined }): string =>
          c.side === undefined || c.side === 'body' ? c.code : `${c.code} (${c.side})`;
        return {
          id,
          title,
          expected: expected.map(name).join(', '),
          place,
          causes: causes.slice(0, 3).map(name),
        };
      }),
  );
}

async function main(): Promise<number> {
  let failed = 0;
  let passed = 0;
  for (const ruleSet of await loadAll(ROOT)) {
    const { name, version } = ruleSet.manifest;
    for (const [file, cases] of await casesOf(ruleSet)) {
      console.log(`\n${name}@${version} ${file}`);
      for (const c of cases) {
        const faults = checkCase(c, ruleSet);
        if (faults.length === 0) passed++;
        else failed++;
        console.log(`  ${faults.length === 0 ? 'ok  ' : 'FAIL'} ${c.id}: ${c.title}`);
        for (const fault of faults) console.log(`         ${fault}`);
      }
    }
    const deletions = await deleteEach(ruleSet, [...(await casesOf(ruleSet)).values()].flat());
    const survivors = deletions.filter((d) => d.noticedBy === null);
    console.log(
      `\n${name}@${version}: each rule deleted in turn; the cases do not notice ${survivors.length} of ${deletions.length}`,
    );
    for (const { part, rule } of survivors) console.log(`  ${part}: ${rule}`);
    const health = survivors.filter((d) => HEALTH.includes(d.part));
    if (survivors.length > deletions.length * MOST_SURVIVORS || health.length > 0) {
      failed++;
      console.log(
        `  FAIL at most ${MOST_SURVIVORS * 100} % of the rules may go unnoticed, and none of ${HEALTH.join(', ')}`,
      );
    } else passed++;
    if (name === 'front-crawl') {
      const hits = await blindHits(ruleSet);
      console.log('\nrecords written without sight of the rules (as found, nothing is tuned to them)');
      for (const h of hits) {
        const place = h.place === 0 ? 'not listed' : `place ${h.place}`;
        console.log(
          `  ${h.id}: expected ${h.expected}: ${place}; first three: ${h.causes.join(', ') || 'none'}`,
        );
      }
      const within = (n: number): number => hits.filter((h) => h.place >= 1 && h.place <= n).length;
      console.log(
        `  an expected cause first in ${within(1)} of ${hits.length}, among the first three in ${within(3)} of ${hits.length}`,
      );
    }
  }
  console.log(`\n${passed} passed, ${failed} failed`);
  return failed === 0 ? 0 : 1;
}

if (import.meta.main) process.exitCode = await main();
