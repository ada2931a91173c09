/** One record under a draft beside its base, and why each cause moved, line by line. Pure. */
import { assess } from '../../assess/assess.ts';
import type { AssessmentAnswer, Cause, TrailLine } from '../../contract/answer.ts';
import type { TryAnswer } from '../../contract/drafts.ts';
import type { AssessmentRequest } from '../../contract/request.ts';
import { differenceOf } from '../difference/difference.ts';
import type { BuiltDraft, Library } from '../draft/build.ts';
import { compareOutcomes } from '../impact/compare.ts';
import { outcomeOf } from '../impact/outcome.ts';
import { unreadable } from '../records.ts';

/** A line that moves by less is as before. */
const MOVED_DB = 0.05;

/** What a line is about: the same line of two trails has the same name. */
const lineName = (l: TrailLine): string => [l.kind, l.rule, l.code, l.side].join(' ');

type Shift = TryAnswer['causes'][number];

function linesOf(before: Cause | undefined, after: Cause | undefined): Shift['lines'] {
  const [then, now] = [before, after].map(
    (cause) => new Map(cause?.trail.map((line) => [lineName(line), line])),
  ) as [Map<string, TrailLine>, Map<string, TrailLine>];
  return [...new Set([...now.keys(), ...then.keys()])]
    .map((name) => ({ before: then.get(name), after: now.get(name) }))
    .filter((l) => Math.abs((l.after?.db ?? 0) - (l.before?.db ?? 0)) >= MOVED_DB)
    .sort((a, b) => size(b) - size(a))
    .map((l) => ({
      text: (l.after ?? l.before)?.text as string,
      before: l.before?.db ?? null,
      after: l.after?.db ?? null,
    }));
}

const size = (l: { before: TrailLine | undefined; after: TrailLine | undefined }): number =>
  Math.abs((l.after?.db ?? 0) - (l.before?.db ?? 0));

const causesOf = (answer: AssessmentAnswer): Map<string, Cause> =>
  answer.status === 'stop'
    ? new Map()
    : new Map([...answer.causes, ...answer.mechanisms].map((c) => [`${c.code} ${c.side}`, c]));

function shifts(before: AssessmentAnswer, after: AssessmentAnswer): Shift[] {
  const [then, now] = [causesOf(before), causesOf(after)];
  return [...new Set([...now.keys(), ...then.keys()])].flatMap((key) => {
    const [b, a] = [then.get(key), now.get(key)];
    const { code, label, side } = (a ?? b) as Cause;
    const lines = linesOf(b, a);
    if (lines.length === 0) return [];
    return [{ cause: code, label, side, before: b?.totalDb ?? null, after: a?.totalDb ?? null, lines }];
  });
}

/**
 * @param base undefined for a new rule set, or one that cannot read the record.
 * @param record valid under the draft.
 */
export async function tryDraft(
  base: Library | undefined,
  draft: BuiltDraft,
  record: AssessmentRequest,
): Promise<TryAnswer> {
  const after = await assess(record, draft.ruleSet);
  const readable = base !== undefined && unreadable(record, base.ruleSet).length === 0;
  const before = readable ? await assess(record, base.ruleSet) : null;
  return {
    base: before,
    draft: after,
    difference:
      base === undefined ? [] : differenceOf(base, draft).map((d) => ({ ...d, fields: [...d.fields] })),
    changes:
      before === null ? [] : compareOutcomes(outcomeOf({ answer: before }), outcomeOf({ answer: after })),
    causes: before === null ? [] : shifts(before, after),
  };
}
