/** A comparison as a report: what else differed first, then what changed, then what to do. Never one figure of improvement. */
import { phrase, sideWords } from '../assess/phrases.ts';
import type { Change, ComparisonAnswer, FocusAdvice, FullComparison, Trend } from '../contract/comparison.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Audience, cautionItems, stopBlocks, swimmerCautions } from './audience.ts';
import { changeFigure, isDrawn, MOST_ROWS } from './change-figure.ts';
import { type Block, heading, list, type Report, text } from './document.ts';

type Say = (key: string, values?: { readonly [name: string]: string }) => string;

/** Weightiest first: what got worse must not be overlooked, what cannot be compared comes last. */
const ORDER: readonly Change['verdict'][] = [
  'worse',
  'clear-change',
  'possible-change',
  'no-change-seen',
  'not-comparable',
];

const rounded = (value: number | null): string =>
  value === null ? '-' : String(Number(value.toPrecision(3)));
const dayOf = (at: string): string => at.slice(0, 10);

/** A cause is worked out from the rest, so readers see what was judged and measured first. */
const seen = (changes: readonly Change[]): Change[] =>
  changes
    .filter((c) => c.kind !== 'cause')
    .sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict));

const itemOf = (c: Pick<Change, 'label' | 'side'>, ruleSet: RuleSet): string =>
  `${c.label}${sideWords(ruleSet, c.side)}`;

function shown(value: number | null, c: Change): string {
  if (c.kind === 'cause') return value === null ? '-' : `${Math.round(100 * value)} %`;
  return c.unit === undefined || value === null ? rounded(value) : `${rounded(value)} ${c.unit}`;
}

/** From which value to which, and how much it takes to be believed. */
function stretch(c: Change, say: Say): string {
  const values = { before: shown(c.before, c), after: shown(c.after, c) };
  return c.smallestBelievable === null
    ? say('report-before-after', values)
    : say('report-believed-from', { ...values, least: shown(c.smallestBelievable, c) });
}

function changesBlocks(answer: FullComparison, say: Say, ruleSet: RuleSet): Block[] {
  const causes = answer.changes.filter((c) => c.kind === 'cause');
  const still = causes.filter((c) => c.verdict === 'no-change-seen');
  const changes = [...seen(answer.changes), ...causes.filter((c) => !still.includes(c))];
  if (answer.changes.length === 0) return [text(say('report-changes-none'))];
  const drawn = seen(answer.changes)
    .filter((c) => c.verdict !== 'not-comparable')
    .filter(isDrawn);
  const verdictOf = (c: Change): string => say(`report-verdict-${c.verdict}`);
  const figure = changeFigure(drawn, {
    caption: [
      say('report-changes-caption'),
      ...(drawn.length > MOST_ROWS ? [say('report-changes-more')] : []),
    ].join(' '),
    better: say('report-better-way'),
    worse: say('report-worse-way'),
    itemOf: (c) => itemOf(c, ruleSet),
    verdictOf,
  });
  return [
    ...(drawn.length === 0 ? [] : [figure]),
    {
      kind: 'table',
      head: ['item', 'change-head', 'verdict'].map((h) => say(`report-${h}`)),
      rows: changes.map((c) => [itemOf(c, ruleSet), stretch(c, say), `${verdictOf(c)}. ${c.because.text}`]),
    },
    ...(still.length === 0
      ? []
      : [text(say('report-causes-unchanged', { items: still.map((c) => itemOf(c, ruleSet)).join('; ') }))]),
  ];
}

function adviceItem(f: FocusAdvice, say: Say, ruleSet: RuleSet): string {
  const more = [
    ...f.drills.map((d) => `${say('report-another-drill')}: ${d.name}.`),
    ...f.looks.map((l) => `${say('report-telling-look')}: ${l.label}${sideWords(ruleSet, l.side)}.`),
    ...(f.instead === null
      ? []
      : [`${say('report-instead')}: ${f.instead.label}${sideWords(ruleSet, f.instead.side)}.`]),
  ];
  const advice = say(`report-advice-${f.advice}`);
  return `${f.label}${sideWords(ruleSet, f.side)}. ${advice}: ${f.because.text} ${more.join(' ')}`.trim();
}

function trendRow(t: Trend, say: Say, ruleSet: RuleSet): string[] {
  const values = t.values
    .map((v) => {
      const value = rounded(v.value);
      return `${dayOf(v.at)}: ${v.comparable ? value : say('report-other-pace', { value })}`;
    })
    .join('; ');
  const slope =
    t.perWeek === null
      ? say('report-trend-none')
      : say('report-trend-slope', {
          slope: rounded(t.perWeek.estimate),
          low: rounded(t.perWeek.low),
          high: rounded(t.perWeek.high),
        });
  return [itemOf(t, ruleSet), values, slope];
}

function coachBlocks(answer: FullComparison, say: Say, ruleSet: RuleSet): Block[] {
  const measured = answer.trends.filter((t) => t.kind === 'measurement' || t.kind === 'efficiency');
  return [
    heading(say('report-conditions')),
    answer.conditions.length > 0
      ? list(answer.conditions.map((c) => c.text))
      : text(say('report-conditions-none')),
    heading(say('report-changes')),
    ...changesBlocks(answer, say, ruleSet),
    heading(say('report-advice')),
    answer.focus.length > 0
      ? list(answer.focus.map((f) => adviceItem(f, say, ruleSet)))
      : text(say('report-advice-none')),
    text(say('report-next-film', { date: dayOf(answer.nextFilm) }), 'note'),
    ...(measured.length === 0
      ? []
      : [
          heading(say('report-trends')),
          {
            kind: 'table' as const,
            head: [say('report-item'), say('report-films-head'), say('report-trend')],
            rows: measured.map((t) => trendRow(t, say, ruleSet)),
          },
        ]),
    heading(say('report-cautions')),
    list(cautionItems(answer.cautions)),
    ...(answer.messages.length > 0
      ? [heading(say('report-messages')), list(answer.messages.map((m) => m.text))]
      : []),
    text(`${say('report-rules')} ${answer.ruleSet.name} ${answer.ruleSet.version}`),
  ];
}

function nextItem(f: FocusAdvice, say: Say, ruleSet: RuleSet): string {
  const key = f.change === 'nothing' ? f.advice : f.change;
  return say(`report-swimmer-${key}`, { label: `${f.label}${sideWords(ruleSet, f.side)}` });
}

/** One change in a swimmer's words: less of a fault, more of what is good, a number from where to where. */
function toldItem(c: Change, say: Say, ruleSet: RuleSet): string {
  const item = itemOf(c, ruleSet);
  if (c.kind === 'measurement')
    return say('report-swimmer-number', { item, before: shown(c.before, c), after: shown(c.after, c) });
  const more = (c.after ?? 0) > (c.before ?? 0) ? 'more' : 'less';
  return say(c.kind === 'efficiency' ? `report-swimmer-works-${more}` : `report-swimmer-${more}`, { item });
}

/** What stayed: what is still good, and the faults that did not move yet. */
function stayed(changes: readonly Change[], say: Say, ruleSet: RuleSet): Block[] {
  const same = changes.filter((c) => c.kind === 'finding' && c.verdict === 'no-change-seen' && c.after !== 0);
  const named = (polarity: 'good' | 'fault'): string[] =>
    same
      .filter((c) => ruleSet.observations.get(c.code)?.polarity === polarity)
      .map((c) => itemOf(c, ruleSet));
  const told = (key: string, items: readonly string[]): Block[] =>
    items.length === 0 ? [] : [text(say(key, { items: items.slice(0, 4).join('; ') }))];
  return [
    ...told('report-swimmer-still-good', named('good')),
    ...told('report-swimmer-same', named('fault')),
  ];
}

function swimmerBlocks(answer: FullComparison, say: Say, ruleSet: RuleSet): Block[] {
  const items = (verdict: Change['verdict'], way: Change['direction']): string[] =>
    seen(answer.changes)
      .filter((c) => c.verdict === verdict && c.direction === way)
      .map((c) => toldItem(c, say, ruleSet));
  const better = items('clear-change', 'better').slice(0, 8);
  const perhaps = items('possible-change', 'better').slice(0, 3);
  const worse = items('worse', 'worse').slice(0, 5);
  const blocked = answer.conditions.some((c) => c.blocks);
  return [
    ...(answer.status === 'refer' ? [text(say('report-swimmer-refer'), 'stop')] : []),
    heading(say('report-swimmer-better')),
    ...(blocked ? [text(say('report-swimmer-blocked'))] : []),
    ...(better.length > 0
      ? [text(say('report-swimmer-better-intro')), list(better)]
      : blocked
        ? []
        : [text(say('report-swimmer-better-none'))]),
    ...(perhaps.length > 0 ? [text(say('report-swimmer-perhaps')), list(perhaps)] : []),
    ...stayed(answer.changes, say, ruleSet),
    ...(worse.length > 0 ? [heading(say('report-swimmer-watch')), list(worse)] : []),
    heading(say('report-swimmer-next')),
    ...(answer.focus.length > 0 ? [list(answer.focus.map((f) => nextItem(f, say, ruleSet)))] : []),
    text(say('report-swimmer-film', { date: dayOf(answer.nextFilm) })),
    ...stopBlocks(answer.cautions, ruleSet),
    text(say('report-honest'), 'note'),
  ];
}

/** @param remarks the coach's own words from the last record; escaped when the report is given its form. */
export function comparisonReport(
  answer: ComparisonAnswer,
  audience: Audience,
  remarks: string | undefined,
  ruleSet: RuleSet,
): Report {
  const say: Say = (key, values) => phrase(ruleSet, key, values);
  const nameOf = ({ label, at }: ComparisonAnswer['from']): string =>
    label === null ? dayOf(at) : `${label} (${dayOf(at)})`;
  const head: Block[] = [
    { kind: 'blank', label: say('report-name') },
    text(say('report-films', { before: nameOf(answer.from), after: nameOf(answer.to) })),
  ];
  const told = remarks === undefined ? [] : [heading(say('report-remarks')), text(remarks, 'note')];
  const body: Block[] =
    answer.status === 'stop'
      ? [
          text(answer.summary, 'stop'),
          list(
            audience === 'coach' ? cautionItems(answer.cautions) : swimmerCautions(answer.cautions, ruleSet),
          ),
        ]
      : audience === 'coach'
        ? [text(answer.summary, 'note'), ...told, ...coachBlocks(answer, say, ruleSet)]
        : [...told, ...swimmerBlocks(answer, say, ruleSet)];
  return {
    language: ruleSet.texts.language,
    title: say(`report-title-comparison-${audience}`),
    blocks: [...head, ...body],
  };
}
