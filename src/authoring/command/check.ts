/** `check`: the schema, the lint, the cases and the coverage of folders; and of the lock, where a folder is published. */

import { lockFaults } from '../../knowledge/lock.ts';
import { findVersion, readLock } from '../../knowledge/lock-files.ts';
import { audit } from '../audit.ts';
import { coverageDemand, coverageOf, percent, survivorsOf } from '../demands.ts';
import { type OnDisk, readLibrary } from './library.ts';
import type { Outcome } from './outcome.ts';

/** @param deletions also delete each rule in turn and list those that no case misses. */
export function checkLibrary(library: OnDisk, deletions: boolean): Outcome {
  const { ruleSet, cases, id } = library;
  const { verdicts, counted, findings } = audit(library);
  const failed = verdicts.filter((v) => v.faults.length > 0);
  const coverage = coverageOf({ counted });
  const { rules, outcomes } = coverage.summary;
  const survived = deletions ? survivorsOf(ruleSet, cases, counted) : undefined;
  const fail = (ok: boolean): string => (ok ? 'ok  ' : 'FAIL');
  const lines = [
    `${id} (${ruleSet.manifest.status})`,
    `  ok   schema and references`,
    `  ${fail(findings.length === 0)} lint: ${findings.length === 0 ? 'clean' : `${findings.length} findings`}`,
    ...findings.map((f) => `         ${f.lint} ${f.part} ${f.entry}: ${f.message} ${f.suggestion}`),
    `  ${fail(failed.length === 0)} cases: ${cases.length - failed.length} of ${cases.length} hold`,
    ...failed.flatMap((v) => [`         ${v.case.id}`, ...v.faults.map((f) => `           ${f}`)]),
    `  ${fail(coverage.enough)} coverage: ${rules.seen} of ${rules.all} rules (${percent(rules.share)}), ${outcomes.seen} of ${outcomes.all} outcomes of conditions (${percent(outcomes.share)}); ${coverageDemand}`,
    ...coverage.neverFires.map((g) => `         never fires: ${g.target.part}: ${g.target.rule.id}`),
    ...(survived === undefined
      ? []
      : [
          `  ${fail(survived.few)} each rule deleted in turn: the cases do not notice ${survived.survivors.length} of ${survived.rules}; ${survived.demand}`,
          ...survived.survivors.map((d) => `         survives: ${d.part}: ${d.rule}`),
        ]),
  ];
  return {
    ok: findings.length === 0 && failed.length === 0 && coverage.enough && (survived?.few ?? true),
    lines,
    json: {
      ruleSet: id,
      status: ruleSet.manifest.status,
      digest: ruleSet.digest,
      lint: findings,
      cases: {
        all: cases.length,
        failed: failed.map((v) => ({ id: v.case.id, faults: v.faults })),
      },
      coverage: {
        rules,
        outcomes,
        neverFires: coverage.neverFires.map((g) => ({ part: g.target.part, rule: g.target.rule.id })),
      },
      ...(survived === undefined ? {} : { survivors: survived.survivors }),
    },
  };
}

/** @param whole every version of the root is meant, so that a locked version whose folder is gone counts too. */
async function checkLock(root: string, folders: readonly OnDisk[], whole: boolean): Promise<Outcome> {
  const found = await Promise.all(folders.map((f) => findVersion(f.id, f.folder)));
  const own = new Set(found.map((f) => f.id));
  const faults = lockFaults(await readLock(root), found).filter((f) => whole || own.has(f.version));
  return {
    ok: faults.length === 0,
    lines: [
      `  ${faults.length === 0 ? 'ok  ' : 'FAIL'} lock: ${faults.length === 0 ? 'published versions are as they were published' : `${faults.length} faults`}`,
      ...faults.map((f) => `         ${f.message}`),
    ],
    json: { lock: faults },
  };
}

/** @param folders at least one, all under one root. */
export async function check(
  folders: readonly string[],
  root: string,
  { deletions, whole }: { readonly deletions: boolean; readonly whole: boolean },
): Promise<Outcome> {
  const libraries = await Promise.all(folders.map(readLibrary));
  const locked = await checkLock(root, libraries, whole);
  const outcomes = libraries.map((l) => checkLibrary(l, deletions));
  return {
    ok: locked.ok && outcomes.every((o) => o.ok),
    lines: [...outcomes.flatMap((o) => o.lines), 'lock.json', ...locked.lines],
    json: { ruleSets: outcomes.map((o) => o.json), ...(locked.json as object) },
  };
}
