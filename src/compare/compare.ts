/** What changed between the first and the last film, what of the focus to keep, and when to film again. Pure. */
import { DEFAULTS } from '../assess/record.ts';
import type { ComparisonAnswer, ComparisonRequest } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { compareCauses } from './causes.ts';
import { conditionsOf } from './conditions.ts';
import { compareEfficiency } from './efficiency.ts';
import { type Film, readFilm, type StoppedFilm } from './film.ts';
import { compareFindings } from './findings.ts';
import { adviseFocus } from './focus.ts';
import { compareMeasurements } from './measurements.ts';
import { planAfter } from './next-plan.ts';
import { comparePain, toldAsPain } from './pain.ts';
import { messagesOf, summaryOf } from './summary.ts';
import { trendsOf } from './trends.ts';

const DAY_MS = 86_400_000;

/** Counted in days from the day of the film as its own time zone calls it. */
function dayAfter(at: string, weeks: number): string {
  const day = Date.parse(`${at.slice(0, 10)}T00:00:00Z`) + Math.round(weeks * 7) * DAY_MS;
  return new Date(day).toISOString().slice(0, 10);
}

/**
 * @param request records in time order, valid for this rule set.
 * @returns the changes; only the cautions when a health sign stops the last record; or the place of an earlier record
 * that was stopped, which cannot be compared with.
 */
export async function compare(
  request: ComparisonRequest,
  ruleSet: RuleSet,
): Promise<ComparisonAnswer | { readonly stopped: number }> {
  const { records, between = [], weeks = ruleSet.parts.constants.change.nextFilmWeeks } = request;
  const read = await Promise.all(
    records.map((record, i) => {
      const looks = i === records.length - 1 && between.length > 0 ? DEFAULTS.nextLooks : 0;
      return readFilm(record, looks, ruleSet);
    }),
  );
  const { name, version } = ruleSet.manifest;
  const used = { name, version, digest: ruleSet.digest };
  const nameOf = ({ at, label }: Film | StoppedFilm) => ({ at, label });
  const [first, last] = [read[0] as Film | StoppedFilm, read.at(-1) as Film | StoppedFilm];
  const head = { ruleSet: used, from: nameOf(first), to: nameOf(last) };
  if ('stopped' in last) {
    const { summary, cautions } = last.stopped;
    return { ...head, status: 'stop', summary, cautions };
  }
  const stopped = read.findIndex((f) => 'stopped' in f);
  if (stopped >= 0) return { stopped };

  const films = read as Film[];
  const [before, after] = [films[0] as Film, last];
  const conditions = conditionsOf(before, after, ruleSet);
  const pair = { before, after, conditions, ruleSet };
  const pains = comparePain(pair);
  const seen = compareFindings(pair).filter((c) => !toldAsPain(c, pains));
  const observed = [...seen, ...pains, ...compareMeasurements(pair)];
  const changes = [...observed, ...compareCauses(pair, observed), ...compareEfficiency(pair, observed)];
  const { status, restrictions, cautions, nextLooks } = after.answer;
  const focus = adviseFocus(between, observed, nextLooks, pair);
  return {
    ...head,
    status,
    summary: summaryOf(changes, conditions, ruleSet),
    conditions,
    changes,
    focus,
    trends: trendsOf(films, ruleSet),
    nextFilm: dayAfter(after.at, weeks),
    restrictions,
    cautions,
    messages: messagesOf(changes, ruleSet),
    ...(await planAfter(request, focus, ruleSet)),
  };
}
