/**
 * `npm run test:rules`: every case of every rule set, one line each, the coverage by the cases, the lint, the rules that
 * nobody would miss, and the records that were written without sight of the rules, whose hit rate is printed as it is found.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { assess } from '../../src/assess/assess.ts';
import { type Audit, audit } from '../../src/authoring/audit.ts';
import type { Case } from '../../src/authoring/cases.ts';
import { coverageDemand, coverageOf, percent, survivorsOf } from '../../src/authoring/demands.ts';
import { readCaseFiles } from '../../src/authoring/library.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';
import { loadAll } from '../../src/knowledge/load.ts';
import type { RuleSet } from '../../src/knowledge/rule-set.ts';

const ROOT = new URL('../../rules', import.meta.url).pathname;

/** Cases of a rule set, by file name. */
export async function casesOf(ruleSet: RuleSet): Promise<ReadonlyMap<string, readonly Case[]>> {
  const { name, version } = ruleSet.manifest;
  return readCaseFiles(join(ROOT, name, version));
}

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

function printCoverage(counted: Audit['counted']): boolean {
  const { summary, neverFires, enough } = coverageOf({ counted });
  const { rules, outcomes } = summary;
  console.log(
    `  coverage: ${rules.seen} of ${rules.all} rules fire in some case (${percent(rules.share)}); ${outcomes.seen} of ${outcomes.all} outcomes of conditions occur (${percent(outcomes.share)})`,
  );
  for (const { target } of neverFires) console.log(`  never fires: ${target.part}: ${target.rule.id}`);
  if (!enough) console.log(`  FAIL ${coverageDemand}`);
  return enough;
}

function printLint(findings: Audit['findings']): boolean {
  console.log(`  lint: ${findings.length === 0 ? 'clean' : `${findings.length} findings`}`);
  for (const f of findings) console.log(`  FAIL ${f.lint} ${f.part} ${f.entry}: ${f.message}`);
  return findings.length === 0;
}

function printSurvivors(ruleSet: RuleSet, cases: readonly Case[], counted: Audit['counted']): boolean {
  const { rules, survivors, few, demand } = survivorsOf(ruleSet, cases, counted);
  console.log(`  each rule deleted in turn: the cases do not notice ${survivors.length} of ${rules}`);
  for (const { part, rule } of survivors) console.log(`  survives: ${part}: ${rule}`);
  if (!few) console.log(`  FAIL ${demand}`);
  return few;
}

async function main(): Promise<number> {
  let failed = 0;
  let passed = 0;
  const count = (ok: boolean): void => void (ok ? passed++ : failed++);
  for (const ruleSet of await loadAll(ROOT)) {
    const { name, version } = ruleSet.manifest;
    const files = await casesOf(ruleSet);
    const cases = [...files.values()].flat();
    const { verdicts, counted, findings } = audit({ ruleSet, cases });
    const verdictOf = new Map(verdicts.map((v) => [v.case, v]));
    for (const [file, own] of files) {
      console.log(`\n${name}@${version} ${file}`);
      for (const c of own) {
        const faults = verdictOf.get(c)?.faults ?? [];
        count(faults.length === 0);
        console.log(`  ${faults.length === 0 ? 'ok  ' : 'FAIL'} ${c.id}: ${c.title}`);
        for (const fault of faults) console.log(`         ${fault}`);
      }
    }
    console.log(`\n${name}@${version}`);
    count(printCoverage(counted));
    count(printLint(findings));
    count(printSurvivors(ruleSet, cases, counted));
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
