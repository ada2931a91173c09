/** The plan that follows from a comparison: of the last record, without what was tried and did not help. */
import { labelOfCause, phrase } from '../assess/phrases.ts';
import type { ComparisonRequest, FocusAdvice, FullComparison } from '../contract/comparison.ts';
import type { PlanAnswer, PlanRequest } from '../contract/plan.ts';
import type { AssessmentRequest } from '../contract/request.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { plan } from '../plan/plan.ts';

type Practised = NonNullable<ComparisonRequest['between']>;
type Time = Pick<PlanRequest, 'sessionsPerWeek' | 'weeks'>;

/** Drills that were practised for a focus that needs another drill. */
function spentDrills(between: Practised, advice: readonly FocusAdvice[]): string[] {
  const changing = advice.filter((a) => a.change === 'drill').map((a) => a.cause);
  const spent = between.filter((b) => changing.includes(b.focus.cause)).flatMap((b) => b.drills ?? []);
  return [...new Set(spent)].sort();
}

/** Causes that two honest tries have put in doubt. */
function doubtedCauses(advice: readonly FocusAdvice[]): FocusAdvice[] {
  return advice.filter((a) => a.change === 'cause' && a.tries > 1);
}

/** What the comparison rules out stands as the comparison's own word, not as the coach's. */
function inItsOwnWords(
  answer: PlanAnswer,
  drills: readonly string[],
  doubted: readonly FocusAdvice[],
  ruleSet: RuleSet,
): PlanAnswer {
  if (answer.status === 'stop') return answer;
  const causes = new Set(doubted.map((d) => d.cause));
  const kept = answer.messages.filter(
    (m) => m.code !== 'coach-rejected-cause' || !causes.has(m.about.code ?? ''),
  );
  const said = [...causes].sort().map((code) => ({
    severity: 'info' as const,
    code: 'next-plan-cause-in-doubt',
    about: { code },
    text: phrase(ruleSet, 'next-plan-cause-in-doubt', { label: labelOfCause(ruleSet, code) }),
  }));
  return {
    ...answer,
    excludedDrills: answer.excludedDrills.map((d) =>
      d.reason === 'refused-by-coach' && drills.includes(d.code)
        ? { ...d, reason: 'tried-without-change', text: phrase(ruleSet, 'next-plan-drill-tried') }
        : d,
    ),
    messages: [...kept, ...said],
  };
}

/** @returns the next plan; the coach's own choices in the record are kept. */
async function nextPlan(
  request: AssessmentRequest,
  between: Practised,
  advice: readonly FocusAdvice[],
  time: Time,
  ruleSet: RuleSet,
): Promise<PlanAnswer> {
  const { rejectDrills = [], rejectCauses = [], ...own } = request.coach ?? {};
  const drills = spentDrills(between, advice).filter((code) => !rejectDrills.some((r) => r.code === code));
  const doubted = doubtedCauses(advice);
  const because = phrase(ruleSet, 'next-plan-drill-tried');
  const coach = {
    ...own,
    rejectDrills: [...rejectDrills, ...drills.map((code) => ({ code, because }))],
    rejectCauses: [
      ...rejectCauses,
      ...doubted.map(({ cause, side, because: why }) => ({ cause, side, because: why.text })),
    ],
  };
  const answer = await plan({ ...request, coach, ...time }, ruleSet);
  return inItsOwnWords(answer, drills, doubted, ruleSet);
}

/**
 * @param advice what the comparison says about each focus that was practised.
 * @returns nothing unless the sessions a week are given; the contract has then seen to the weeks.
 */
export async function planAfter(
  { records, between = [], sessionsPerWeek, weeks }: ComparisonRequest,
  advice: readonly FocusAdvice[],
  ruleSet: RuleSet,
): Promise<Pick<FullComparison, 'nextPlan'>> {
  const last = records.at(-1)?.request;
  if (sessionsPerWeek === undefined || last === undefined) return {};
  const time = { sessionsPerWeek, weeks: weeks as PlanRequest['weeks'] };
  return { nextPlan: await nextPlan(last, between, advice, time, ruleSet) };
}
