/** When to look again, at what, which change counts, and what to decide then. */
import { viewsOf } from '../assess/facts.ts';
import { labelOfFinding, phrase, sideWords } from '../assess/phrases.ts';
import type { NextLook } from '../contract/answer.ts';
import type { Checkpoint, Exchange, Sign } from '../contract/plan.ts';
import type { PlanTemplate } from '../knowledge/parts.ts';
import type { Ladder } from './ladders.ts';
import { setUpOf } from './set-up.ts';
import { signsOf } from './signs.ts';
import type { Work } from './work.ts';

/** Drill sessions by week, for each focus. */
export type Practice = readonly { readonly week: number; readonly perFocus: readonly number[] }[];

function alternativeTo({ focus }: Ladder, { answer, ruleSet }: Work): Exchange['alternative'] {
  const own = answer.causes.filter((c) => c.code === focus.cause).flatMap((c) => c.explains);
  const other = answer.causes.find(
    (c) =>
      !answer.focus.some((f) => f.cause === c.code) &&
      ruleSet.causes.get(c.code)?.role === 'root' &&
      c.explains.some((e) => own.some((o) => o.code === e.code && o.side === e.side)),
  );
  if (other === undefined) return null;
  const { code: cause, label, probability } = other;
  // the same cause on both arms is one thought
  const both = answer.causes.some((c) => c.code === cause && c.side !== other.side);
  return { cause, label, side: both ? 'both' : other.side, probability };
}

function lookFor({ focus }: Ladder, looks: readonly NextLook[]): Exchange['look'] {
  const look = looks.find((l) => l.now.some((c) => c.cause === focus.cause)) ?? looks[0];
  if (look === undefined) return null;
  const { code, label, side, view } = look;
  return { code, label, side, view };
}

/** Fewer drill sessions than this tell nothing about a focus: the same number as in the decision of that name. */
function tooFew(sessions: number, { ruleSet }: Work): boolean {
  return sessions < ruleSet.parts.constants.change.honestTrySessions;
}

function exchangeOf(ladder: Ladder, signs: readonly Sign[], sessions: number, work: Work): Exchange {
  const { ruleSet, answer } = work;
  const { focus, reserve } = ladder;
  const alternative = alternativeTo(ladder, work);
  const look = lookFor(ladder, answer.nextLooks);
  const say = (key: string, values: { readonly [name: string]: string } = {}): string =>
    phrase(ruleSet, key, values);
  const text = [
    ...(signs.length === 0 ? [say('plan-exchange-no-sign')] : []),
    say(tooFew(sessions, work) ? 'plan-exchange-few' : 'plan-exchange-sessions', {
      sessions: String(sessions),
    }),
    reserve === null ? say('plan-exchange-no-drill') : say('plan-exchange-drill', { name: reserve.name }),
    ...(alternative === null
      ? []
      : [
          say('plan-exchange-cause', {
            label: alternative.label,
            side: sideWords(ruleSet, alternative.side),
          }),
        ]),
    ...(look === null
      ? []
      : [
          say('plan-exchange-look', {
            label: look.label,
            side: sideWords(ruleSet, look.side),
            view: say(`view-${look.view}`),
          }),
        ]),
  ].join(' ');
  return {
    cause: focus.cause,
    side: focus.side,
    sessions,
    signs: [...signs],
    drill: reserve === null ? null : { code: reserve.code, name: reserve.name },
    alternative,
    look,
    text,
  };
}

/** Land tests of the record, by eye or as a number. */
function landTests({ record, ruleSet }: Work): string[] {
  const codes = new Set(
    [...record.observations, ...record.measurements].flatMap((e) => (e.view === 'land-test' ? [e.code] : [])),
  );
  return [...codes].sort().map((code) =>
    phrase(ruleSet, 'plan-look-land', {
      label: ruleSet.texts.measurements[code]?.label ?? labelOfFinding(ruleSet, code),
    }),
  );
}

function looksOf(
  checks: PlanTemplate['checkpoints'][number]['checks'],
  gentle: boolean,
  work: Work,
): string[] {
  const { concluded, record, ruleSet } = work;
  const { plans, lists } = ruleSet.texts;
  const { goal } = record.swimmer;
  const aches = [
    ...new Set([...concluded.gate.aches, ...concluded.gate.restrictions].map((a) => a.bodyPart)),
  ];
  return [
    ...aches.map((part) => phrase(ruleSet, 'plan-look-pain', { part: lists.bodyParts[part] ?? part })),
    ...checks.flatMap((check): string[] => {
      const words = plans.checks[check] ?? '';
      if (check === 'count-drift') return [words];
      const what =
        check === 'land-test' ? landTests(work) : goal === undefined ? [] : [plans.goalTests[goal] ?? ''];
      // no test of speed or distance where the plan is gentle
      return what.length === 0 || (check === 'goal-test' && gentle) ? [] : [words, ...what];
    }),
  ];
}

/** What is still to be looked at, and tests on land that should come before a habit is assumed. */
function openLooks({ answer, concluded, ruleSet }: Work): string[] {
  const looks = answer.nextLooks.map((l) =>
    phrase(ruleSet, 'plan-look-next', {
      label: l.label,
      side: sideWords(ruleSet, l.side),
      view: phrase(ruleSet, `view-${l.view}`),
    }),
  );
  const asks = concluded.plan.asks.map((code) =>
    phrase(ruleSet, 'plan-look-land', { label: labelOfFinding(ruleSet, code) }),
  );
  // a land test that is also the next look is named once
  const named = answer.nextLooks.map((l) => l.code);
  return [...looks, ...asks.filter((_, i) => !named.includes(concluded.plan.asks[i] as string))];
}

/** Before the first session: what the first film lacks. */
function start(signs: ReadonlyMap<Ladder, readonly Sign[]>, work: Work): Checkpoint {
  const { ruleSet } = work;
  return {
    week: 0,
    session: null,
    film: 'none',
    views: [],
    text: phrase(ruleSet, 'plan-check-start'),
    setUp: setUpOf(work),
    looks: [...looksOf([], false, work), ...openLooks(work)],
    focus: [...signs].map(([{ focus }, list]) => ({
      cause: focus.cause,
      side: focus.side,
      sessions: 0,
      signs: [...list],
      drill: null,
      alternative: null,
      look: null,
      text: phrase(ruleSet, list.length === 0 ? 'plan-exchange-no-sign' : 'plan-exchange-start'),
    })),
    decisions: [],
  };
}

const isFilmed = (view: string): boolean => view !== 'self-report' && view !== 'land-test';

export function checkpointsOf(
  template: PlanTemplate,
  gentle: boolean,
  ladders: readonly Ladder[],
  practice: Practice,
  work: Work,
): Checkpoint[] {
  const { ruleSet, time } = work;
  const signs = new Map(ladders.map((l) => [l, signsOf(l.focus, work)] as const));
  const later = template.checkpoints.map(({ week, film, looksAt, checks }): Checkpoint => {
    // without a film there is nothing to judge a sign by
    const judged = film === 'none' ? [] : looksAt;
    const due = new Set(
      judged.map((which) => (which === 'second' ? (ladders[1] ?? ladders[0]) : ladders[0])),
    );
    const focus = [...due].flatMap((ladder): Exchange[] => {
      if (ladder === undefined) return [];
      const i = ladders.indexOf(ladder);
      const done = practice.filter((p) => p.week <= week).reduce((sum, p) => sum + (p.perFocus[i] ?? 0), 0);
      return [exchangeOf(ladder, signs.get(ladder) ?? [], done, work)];
    });
    const again = film === 'full' ? (viewsOf(work.record) ?? []) : [];
    const all = template.kind === 'wait' ? work.answer.nextLooks.map((l) => l.view) : again;
    const views = [...all, ...focus.flatMap((f) => f.signs).flatMap((s) => s.views.slice(0, 1))];
    return {
      week,
      session: time.sessionsPerWeek,
      film,
      views: film === 'none' ? [] : [...new Set(views)].filter(isFilmed).sort(),
      text: phrase(ruleSet, `plan-check-${template.kind === 'wait' ? 'wait' : film}`),
      setUp: [],
      looks: [...looksOf(checks, gentle, work), ...(template.kind === 'wait' ? openLooks(work) : [])],
      focus,
      decisions: ruleSet.parts['plan-decisions']
        .filter((d) => d.kinds.includes(template.kind) && d.films.includes(film))
        .map(({ code, outcome, when }) => ({
          code,
          outcome,
          when,
          text: ruleSet.texts.plans.decisions[code] ?? '',
        })),
    };
  });
  return [start(signs, work), ...later];
}
