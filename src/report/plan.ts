/** A plan as a report: for the coach week by week with sums, films and decisions; for the swimmer on two pages at most. */
import { bodyPartWords, phrase, sideWords } from '../assess/phrases.ts';
import type { Drill } from '../contract/answer.ts';
import type { Checkpoint, Decision, FullPlanAnswer, PlanAnswer, PlanWeek } from '../contract/plan.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { drillBlocks } from './assessment.ts';
import { type Audience, cautionItems, stopBlocks, swimmerCautions } from './audience.ts';
import { type Block, heading, list, type Report, table, text } from './document.ts';

type Say = (key: string, values?: { readonly [name: string]: string }) => string;

/** Drills that the swimmer's pages give in full: more do not fit. */
const SWIMMER_DRILLS = 2;

function sessionBlocks(week: PlanWeek, say: Say): Block[] {
  return week.sessions.flatMap((s): Block[] => [
    heading(say('report-plan-session', { label: s.label, numbers: s.numbers.join(', ') }), 3),
    text(s.session.note),
    list(
      s.session.blocks.map(
        (b) =>
          `${b.minutes} min, ${b.label}: ${b.items.map((i) => i.text.replace(/[^.]$/, '$&.')).join(' ')}`,
      ),
    ),
  ]);
}

/** A week whose sessions are those of an earlier one refers to it. */
function weekBlocks(weeks: readonly PlanWeek[], say: Say): Block[] {
  const alike = (a: PlanWeek, b: PlanWeek): boolean =>
    JSON.stringify([a.sessions, a.onLand]) === JSON.stringify([b.sessions, b.onLand]);
  return weeks.flatMap((week, i): Block[] => {
    const before = weeks.slice(0, i).find((w) => alike(w, week));
    return [
      heading(say('report-plan-week-of', { week: String(week.week), label: week.label })),
      text(`${week.aim} ${week.how}`),
      list([
        ...week.focus.map((f) => `${f.text}.`),
        say('report-plan-check', { check: week.check, not: week.ifNot }),
      ]),
      ...(before === undefined
        ? [
            ...sessionBlocks(week, say),
            ...(week.onLand.length > 0 ? [list(week.onLand.map((d) => d.text))] : []),
          ]
        : [text(say('report-plan-same', { week: String(before.week) }))]),
      list([week.minutes.text, ...week.dose.map((d) => d.text), week.load.text]),
    ];
  });
}

function atAGlance({ plan }: FullPlanAnswer, say: Say): Block {
  const film = (week: number): string => {
    const at = plan.checkpoints.find((c) => c.week === week);
    return at === undefined ? '' : say(`report-plan-film-${at.film}`);
  };
  return table(
    ['week', 'for', 'with', 'again'].map((h) => say(`report-plan-head-${h}`)),
    plan.weeks.map((w) => [
      String(w.week),
      w.label,
      w.focus
        .filter((f) => f.role !== 'none')
        .map((f) => f.text)
        .join('; '),
      film(w.week),
    ]),
  );
}

/** The signs of a focus are told where they are first due; later checkpoints name the focus only. */
function checkpointBlocks(checkpoints: readonly Checkpoint[], ruleSet: RuleSet, say: Say): Block[] {
  return checkpoints.flatMap((c): Block[] => [
    heading(c.week === 0 ? say('report-plan-before') : say('report-plan-after', { week: String(c.week) }), 3),
    text(c.text),
    list([
      ...c.setUp.map((s) => s.text),
      ...c.looks.map((l) => l.replace(/[^.?]$/, '$&.')),
      ...c.focus.flatMap((f) =>
        c.week === 0
          ? f.signs.map((s) => s.text)
          : [`${ruleSet.texts.causes[f.cause]?.label ?? f.cause}${sideWords(ruleSet, f.side)}: ${f.text}`],
      ),
    ]),
  ]);
}

/** Each decision once, in the order in which they are to be tried. */
function decisionsOf(checkpoints: readonly Checkpoint[]): Decision[] {
  const all = checkpoints.flatMap((c) => c.decisions);
  const fullest =
    [...checkpoints].sort((a, b) => b.decisions.length - a.decisions.length)[0]?.decisions ?? [];
  const missing = all.filter((d, i) => !fullest.includes(d) && all.findIndex((o) => o.code === d.code) === i);
  return [...fullest, ...missing.filter((d) => !fullest.some((f) => f.code === d.code))];
}

function coachBlocks(
  answer: FullPlanAnswer,
  remarks: string | undefined,
  ruleSet: RuleSet,
  say: Say,
): Block[] {
  const { plan, restrictions } = answer;
  const parts = restrictions.map(
    (r) => `${bodyPartWords(ruleSet, r.bodyPart)}${sideWords(ruleSet, r.side)}: ${r.because.text}`,
  );
  const used = new Set(plan.focus.flatMap((f) => [...f.drills, ...f.steps.map((s) => s.to)]));
  const drills = answer.drills.filter((d) => used.has(d.code));
  return [
    text(answer.summary, 'note'),
    text(plan.summary),
    ...(parts.length > 0 ? [heading(say('report-restrictions')), list(parts)] : []),
    ...(plan.focus.length > 0
      ? [
          heading(say('report-focus')),
          list(
            plan.focus.map((f) =>
              [
                `${f.label}${sideWords(ruleSet, f.side)}.`,
                ...(f.cue === null ? [] : [`${say('report-cue')}: ${f.cue}.`]),
                f.expect,
              ].join(' '),
            ),
            true,
          ),
        ]
      : []),
    ...(plan.because.length > 0
      ? [heading(say('report-plan-because')), list(plan.because.map((b) => b.text))]
      : []),
    ...(remarks === undefined ? [] : [heading(say('report-remarks')), text(remarks, 'note')]),
    heading(say('report-plan-weeks')),
    atAGlance(answer, say),
    ...weekBlocks(plan.weeks, say),
    text(plan.totals.text),
    heading(say('report-plan-again')),
    ...checkpointBlocks(plan.checkpoints, ruleSet, say),
    heading(say('report-plan-decide')),
    list(
      decisionsOf(plan.checkpoints).map((d) => d.text),
      true,
    ),
    ...(drills.length > 0 ? [heading(say('report-drills')), ...drillBlocks(drills, say)] : []),
    heading(say('report-cautions')),
    list(cautionItems(answer.cautions)),
    ...(answer.messages.length > 0
      ? [heading(say('report-messages')), list(answer.messages.map((m) => m.text))]
      : []),
    text(
      `${say('report-rules')} ${answer.ruleSet.name} ${answer.ruleSet.version}, ${answer.ruleSet.digest}, ${answer.decisionId}`,
    ),
  ];
}

/** How often each drill comes in a week, in words. */
function weekForSwimmer(week: PlanWeek, say: Say): string {
  const drills = week.dose.map((d) => {
    const times = String(d.parts.reduce((sum, p) => sum + p.sessions, 0));
    return say('report-plan-times', { name: d.name, times });
  });
  return drills.length > 0 ? drills.join('; ') : say('report-plan-swim');
}

/** Weeks in a row that ask for the same stand in one row. */
function weekRows(weeks: readonly PlanWeek[], say: Say): string[][] {
  const rows: { from: number; to: number; cells: readonly string[] }[] = [];
  for (const week of weeks) {
    const cells = [week.aim, weekForSwimmer(week, say)];
    const last = rows.at(-1);
    if (last !== undefined && last.cells.join() === cells.join()) last.to = week.week;
    else rows.push({ from: week.week, to: week.week, cells });
  }
  return rows.map(({ from, to, cells }) => [
    from === to ? String(from) : say('report-plan-span', { from: String(from), to: String(to) }),
    ...cells,
  ]);
}

function swimmerBlocks(
  answer: FullPlanAnswer,
  remarks: string | undefined,
  ruleSet: RuleSet,
  say: Say,
): Block[] {
  const { plan } = answer;
  const work = plan.focus.filter((f) => ruleSet.causes.get(f.cause)?.timeBand !== 'clinician-first');
  const first = plan.focus.flatMap((f) => f.drills.slice(0, 1));
  const drills = [...new Set(first)]
    .flatMap((code): Drill[] => answer.drills.filter((d) => d.code === code))
    .slice(0, SWIMMER_DRILLS);
  const films = plan.checkpoints.filter((c) => c.film !== 'none').map((c) => c.week);
  return [
    ...(answer.status === 'refer' ? [text(say('report-swimmer-refer'), 'stop')] : []),
    heading(say('report-work')),
    ...(work.length > 0
      ? [
          list(
            work.map((f) =>
              [
                `${f.label}${sideWords(ruleSet, f.side)}.`,
                ruleSet.texts.causes[f.cause]?.costs ?? '',
                ...(f.cue === null ? [] : [`${say('report-cue')}: ${f.cue}.`]),
              ].join(' '),
            ),
            true,
          ),
        ]
      : [text(say(`report-plan-swimmer-${plan.kind === 'wait' ? 'wait' : 'keep'}`))]),
    ...(remarks === undefined ? [] : [heading(say('report-remarks')), text(remarks, 'note')]),
    heading(say('report-plan-weeks')),
    table(
      ['week', 'for', 'do'].map((h) => say(`report-plan-head-${h}`)),
      weekRows(plan.weeks, say),
    ),
    ...(films.length > 0 ? [text(say('report-plan-swimmer-film', { weeks: films.join(', ') }))] : []),
    ...(drills.length > 0 ? [heading(say('report-how')), ...drillBlocks(drills, say)] : []),
    ...stopBlocks(answer.cautions, ruleSet),
    text(say('report-honest'), 'note'),
  ];
}

/** @param remarks the coach's own words from the request; escaped when the report is given its form. */
export function planReport(
  answer: PlanAnswer,
  audience: Audience,
  remarks: string | undefined,
  ruleSet: RuleSet,
): Report {
  const say: Say = (key, values) => phrase(ruleSet, key, values);
  const name: Block = { kind: 'blank', label: say('report-name') };
  const title = say(`report-plan-title-${audience}`);
  if (answer.status === 'stop') {
    const cautions =
      audience === 'coach' ? cautionItems(answer.cautions) : swimmerCautions(answer.cautions, ruleSet);
    const blocks = [name, text(answer.summary, 'stop'), list(cautions)];
    return { language: ruleSet.texts.language, title, blocks };
  }
  const body = (audience === 'coach' ? coachBlocks : swimmerBlocks)(answer, remarks, ruleSet, say);
  const blocks = [name, text(answer.plan.title), ...body];
  return { language: ruleSet.texts.language, title, blocks };
}
