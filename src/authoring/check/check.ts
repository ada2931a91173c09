/** Everything that can be said of a draft before anybody uses it: cases, lint, coverage, difference and impact. Pure. */
import type { CheckAnswer } from '../../contract/drafts.ts';
import type { AssessmentRequest } from '../../contract/request.ts';
import { pointerOf } from '../../knowledge/errors.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { audit } from '../audit.ts';
import type { Case } from '../cases.ts';
import { exerciseOf } from '../coverage/exercise.ts';
import { type Gap, summarize } from '../coverage/summary.ts';
import { differenceOf } from '../difference/difference.ts';
import type { BuiltDraft, Library } from '../draft/build.ts';
import { type Impact, impactOf, type Pair } from '../impact/impact.ts';
import { type NoticedOutcome, outcomeOf } from '../impact/outcome.ts';
import type { LintFinding } from '../lint/finding.ts';
import { pageOf } from '../lint/page.ts';
import { probe } from '../probe.ts';
import { unreadable } from '../records.ts';
import { type BaseRun, runOf } from './base-run.ts';

/** So much is told one by one; the rest is counted. */
const TOLD = { gaps: 40, records: 30 } as const;

export const nameOf = ({ manifest, digest }: RuleSet): CheckAnswer['draft'] => ({
  name: manifest.name,
  version: manifest.version,
  digest,
});

const outcomeIn = (record: AssessmentRequest, ruleSet: RuleSet): NoticedOutcome | undefined =>
  unreadable(record, ruleSet).length > 0 ? undefined : outcomeOf(probe(record, ruleSet));

/** Where the draft speaks of the entry; empty where it does not. */
function pointerTo(f: LintFinding, { touched }: BuiltDraft): string {
  const touch = touched.get(f.part)?.get(f.entry);
  return touch === undefined || touch.change === 'removed' ? '' : pointerOf([...touch.path, ...f.path]);
}

function coverageOf(
  counted: Parameters<typeof summarize>[0],
  { ruleSet, touched }: BuiltDraft,
): CheckAnswer['coverage'] {
  const { rules, outcomes, parts, gaps } = summarize(counted);
  const own = ({ target }: Gap): boolean => touched.get(target.part)?.has(target.rule.id) === true;
  const ordered = [...gaps.filter(own), ...gaps.filter((gap) => !own(gap))];
  return {
    rules,
    outcomes,
    parts: [...parts],
    gaps: ordered.slice(0, TOLD.gaps).map((gap) => {
      const exercise = exerciseOf(gap, ruleSet);
      return {
        part: gap.target.part,
        rule: gap.target.rule.id,
        condition: gap.condition ?? null,
        missing: gap.missing,
        text: exercise?.text ?? null,
        record: exercise?.record ?? null,
      };
    }),
    notTold: Math.max(0, ordered.length - TOLD.gaps),
  };
}

const told = ({ notComparable, causes, changes, ...figures }: Impact): CheckAnswer['impact'] => ({
  ...figures,
  notComparable: [...notComparable],
  causes: [...causes],
  changes: changes.map((r) => ({ ...r, changes: [...r.changes] })),
});

function casesOf(
  verdicts: ReturnType<typeof audit>['verdicts'],
  base: BaseRun | undefined,
): CheckAnswer['cases'] {
  const failed = verdicts.filter((v) => v.faults.length > 0);
  const heldBefore = (c: Case): boolean => base?.held.has(c.id) === true;
  const failures = (some: typeof failed): CheckAnswer['cases']['failing'] =>
    some.map(({ case: { id, title, because }, faults }) => ({ id, title, because, faults: [...faults] }));
  return {
    passed: verdicts.length - failed.length,
    failed: failed.length,
    broken: failures(failed.filter((v) => heldBefore(v.case))),
    failing: failures(failed.filter((v) => !heldBefore(v.case))),
    mended: verdicts
      .filter((v) => v.faults.length === 0 && base?.failed.has(v.case.id) === true)
      .map((v) => v.case.id),
  };
}

/**
 * @param base what the draft stands on; undefined for a new rule set, which has nothing to be compared with.
 * @param records valid records to see the impact on; undefined: those of the cases.
 */
export function checkDraft(
  base: Library | undefined,
  draft: BuiltDraft,
  records: readonly AssessmentRequest[] | undefined,
): CheckAnswer {
  const before = base === undefined ? undefined : runOf(base);
  const after = new Map<string, NoticedOutcome | undefined>();
  const { verdicts, counted, findings } = audit(draft, (c, probed) =>
    after.set(c.id, probed === undefined ? undefined : outcomeOf(probed)),
  );
  const pairs = (against: Library, run: BaseRun): Pair[] =>
    records?.map((record, i) => ({
      record: `records/${i}`,
      title: record.swimmer.ref ?? '',
      before: outcomeIn(record, against.ruleSet),
      after: outcomeIn(record, draft.ruleSet),
    })) ??
    draft.cases.map((c) => ({
      record: c.id,
      title: c.title,
      before: run.outcomes.has(c.id) ? run.outcomes.get(c.id) : outcomeIn(c.request, against.ruleSet),
      after: after.get(c.id),
    }));
  return {
    base: base === undefined ? null : nameOf(base.ruleSet),
    draft: nameOf(draft.ruleSet),
    cases: casesOf(verdicts, before),
    lint: findings.map((f) => ({
      id: f.lint,
      page: pageOf(f.lint),
      part: f.part,
      entry: f.entry,
      pointer: pointerTo(f, draft),
      message: f.message,
      suggestion: f.suggestion,
    })),
    coverage: coverageOf(counted, draft),
    difference:
      base === undefined ? [] : [...differenceOf(base, draft)].map((d) => ({ ...d, fields: [...d.fields] })),
    impact:
      base === undefined || before === undefined ? null : told(impactOf(pairs(base, before), TOLD.records)),
  };
}
