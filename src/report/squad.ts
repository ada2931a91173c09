/**
 * A squad as a report. For the coach: a plan of the lanes, then a sheet for each lane, who stands apart, and what to
 * mind. For the swimmers: one sheet each, so that nobody reads the notes of somebody else.
 */
import { equipmentWords, phrase } from '../assess/phrases.ts';
import type { Drill, Session } from '../contract/answer.ts';
import type { Apart, Group, GroupMember, Place, SquadAnswer, SquadCaution } from '../contract/squad.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import type { Audience } from './audience.ts';
import { type Block, heading, list, PAGE, type Report, table, text } from './document.ts';
import { sessionFigure } from './figures.ts';
import { swimmerSheets } from './squad-sheets.ts';
import { notesOf, partsOf, type Say, stopsOf } from './squad-words.ts';

const PLACE_WORDS: Readonly<Record<Exclude<Place, 'first-focus'>, string>> = {
  'second-focus': 'squad-report-second-focus',
  outside: 'squad-report-outside',
  'no-focus': 'squad-report-no-focus-of-own',
};

const headingOf = (group: Group, say: Say): string =>
  `${say('squad-report-lane')} ${group.lane}: ${focusWords(group, say)}`;

const focusWords = ({ focus }: Group, say: Say): string => focus?.label ?? say('squad-report-no-focus');

/** Cautions of everybody are told once; the others stand with those whom they are about. */
function splitCautions({ cautions, groups, apart }: SquadAnswer): {
  shared: SquadCaution[];
  own: SquadCaution[];
} {
  const everybody = groups.reduce((n, g) => n + g.members.length, 0) + apart.length;
  const shared = cautions.filter((c) => c.members.length === everybody && everybody > 1);
  return { shared, own: cautions.filter((c) => !shared.includes(c)) };
}

/** Aids that a lane needs at the poolside; one of each line is enough. */
function aidsOf({ drills }: Group, ruleSet: RuleSet): string {
  const lines = drills
    .filter((d) => d.equipment.length > 0)
    .map((d) => d.equipment.map((code) => equipmentWords(ruleSet, code)).join(' / '));
  return [...new Set(lines)].join(', ');
}

function plan(answer: SquadAnswer, say: Say, ruleSet: RuleSet): Block {
  return table(
    ['lane', 'focus', 'swimmers'].map((key) => say(`squad-report-${key}`)),
    answer.groups.map((group) => {
      const aids = aidsOf(group, ruleSet);
      const works = [focusWords(group, say), ...(group.second === null ? [] : [group.second.label])].join(
        '; ',
      );
      return [
        String(group.lane),
        [
          `${ruleSet.texts.lists.levels[group.level] ?? group.level}: ${works}.`,
          ...(aids === '' ? [] : [`${say('squad-report-aids')}: ${aids}.`]),
        ].join(' '),
        group.members.map((m) => m.ref).join(', '),
      ];
    }),
  );
}

/** How much of it stands in the session. */
function drillItem(d: Drill, say: Say): string {
  return `${d.name}. ${d.steps.join(' ')} ${say('report-cue')}: ${d.cues[0] ?? ''}. ${say('report-check')}: ${d.selfCheck}`;
}

function sessionBlocks(session: Session): Block[] {
  const slots = Object.fromEntries(session.blocks.map((b) => [b.slot, b.label]));
  return [
    sessionFigure(session, { caption: session.note, slots }),
    list(session.blocks.map((b) => `${b.minutes} min, ${b.label}: ${b.items.map((i) => i.text).join(' ')}`)),
  ];
}

/** The cue alone; the drill that it comes from stands below. */
function cueOf({ notes, swaps }: GroupMember, { drills }: Group): string {
  const code = notes.find((n) => n.kind === 'cue')?.code;
  const drill = drills.find((d) => d.code === code);
  return drill?.cues[0] ?? swaps.find((s) => s.instead?.drill === code)?.instead?.cue ?? '';
}

type Note = GroupMember['notes'][number];

/** What to mind in the water; what has no words for a swimmer is about filming or the tool. `told` was said already. */
const mindOf = ({ notes }: GroupMember, told: ReadonlySet<string>, ruleSet: RuleSet): Note[] =>
  notes.filter(
    (n) =>
      n.kind === 'caution' && !told.has(n.code) && ruleSet.texts.cautions[n.code]?.toSwimmer !== undefined,
  );

/** One row a swimmer: the cue, and everything that is not the same for the whole lane. */
function memberRow(
  member: GroupMember,
  group: Group,
  told: ReadonlySet<string>,
  say: Say,
  ruleSet: RuleSet,
): string[] {
  const place = member.place === 'first-focus' ? [] : [say(PLACE_WORDS[member.place])];
  const mind = mindOf(member, told, ruleSet).map((n) => n.text);
  const lines = [...place, ...notesOf(member, 'side', 'ache', 'drill', 'coach'), ...mind];
  return [member.ref, cueOf(member, group), lines.map((l) => (/[.!?]$/.test(l) ? l : `${l}.`)).join(' ')];
}

/** What a whole lane has to mind is said once. */
function laneMinds(
  { members: [first, ...others] }: Group,
  told: ReadonlySet<string>,
  ruleSet: RuleSet,
): Note[] {
  if (first === undefined || others.length === 0) return [];
  return mindOf(first, told, ruleSet).filter((n) =>
    others.every((m) => m.notes.some((o) => o.kind === 'caution' && o.code === n.code)),
  );
}

function laneBlocks(group: Group, shared: readonly SquadCaution[], say: Say, ruleSet: RuleSet): Block[] {
  const everybody = new Set(shared.map((c) => c.code));
  const lane = laneMinds(group, everybody, ruleSet);
  const told = new Set([...everybody, ...lane.map((n) => n.code)]);
  const why = group.members.filter((m) => m.place !== 'first-focus');
  return [
    PAGE,
    heading(headingOf(group, say)),
    ...(group.focus === null ? [] : [text(`${group.focus.costs} ${group.focus.because.text}`)]),
    ...(group.second === null
      ? []
      : [text(`${say('squad-report-second')}: ${group.second.label}. ${group.second.because.text}`)]),
    ...group.messages.filter((m) => m.severity === 'warning').map((m) => text(m.text, 'note')),
    table(
      ['swimmer', 'cue', 'for-this-one'].map((key) => say(`squad-report-${key}`)),
      group.members.map((m) => memberRow(m, group, told, say, ruleSet)),
    ),
    ...(lane.length === 0
      ? []
      : [text(`${say('squad-report-lane-minds')}: ${lane.map((n) => n.text).join(' ')}`)]),
    ...(why.length === 0
      ? []
      : [heading(say('squad-report-why'), 3), list(why.map((m) => `${m.ref}: ${m.because.text}`))]),
    heading(say('report-session'), 3),
    ...sessionBlocks(group.session),
    ...(group.drills.length === 0
      ? []
      : [
          heading(say('report-drills'), 3),
          list(
            group.drills.map((d) => drillItem(d, say)),
            true,
          ),
        ]),
  ];
}

/** Who is not in a lane, the most urgent first. */
function apartBlocks({ apart, cautions }: SquadAnswer, say: Say, ruleSet: RuleSet): Block[] {
  if (apart.length === 0) return [];
  const line = (a: Apart): string => {
    if (a.status === 'refer') return say('squad-report-nothing-that-loads', { parts: partsOf(a, ruleSet) });
    return stopsOf(a, cautions)
      .map((c) => c.text)
      .join(' ');
  };
  const ordered = [...apart].sort((a, b) => Number(a.status === 'refer') - Number(b.status === 'refer'));
  return [
    heading(say('squad-report-apart')),
    ...ordered.map((a) => text(`${a.ref}: ${a.because.text} ${line(a)}`, 'stop')),
  ];
}

function aloneBlocks({ apart }: SquadAnswer, say: Say): Block[] {
  const alone = apart.filter((a) => a.session !== null);
  if (alone.length === 0) return [];
  return [
    PAGE,
    heading(say('squad-report-alone')),
    ...alone.flatMap((a) => [heading(a.ref, 3), ...(a.session === null ? [] : sessionBlocks(a.session))]),
    ...alone.flatMap((a) =>
      a.drills.length === 0
        ? []
        : [
            list(
              a.drills.map((d) => drillItem(d, say)),
              true,
            ),
          ],
    ),
  ];
}

function coachBlocks(answer: SquadAnswer, say: Say, ruleSet: RuleSet): Block[] {
  const { shared, own } = splitCautions(answer);
  const { name, version } = answer.ruleSet;
  return [
    text(answer.summary, 'note'),
    ...(answer.groups.length === 0 ? [] : [plan(answer, say, ruleSet)]),
    ...apartBlocks(answer, say, ruleSet),
    ...answer.messages.filter((m) => m.severity === 'warning').map((m) => text(m.text, 'note')),
    ...answer.groups.flatMap((group) => laneBlocks(group, shared, say, ruleSet)),
    ...aloneBlocks(answer, say),
    PAGE,
    heading(say('report-cautions')),
    list([
      ...shared.map((c) => `${say('squad-report-everybody')}: ${c.label}. ${c.text}`),
      ...own.map((c) => `${c.members.join(', ')}: ${c.label}. ${c.text}`),
    ]),
    ...(answer.messages.length === 0
      ? []
      : [heading(say('report-messages')), list(answer.messages.map((m) => m.text))]),
    text(`${say('report-rules')} ${name} ${version}, ${answer.decisionId}`),
  ];
}

/** @param answer what users typed in it (references, remarks) is escaped when the report is given its form. */
export function squadReport(answer: SquadAnswer, audience: Audience, ruleSet: RuleSet): Report {
  const say: Say = (key, values) => phrase(ruleSet, key, values);
  const blocks =
    audience === 'coach' ? coachBlocks(answer, say, ruleSet) : swimmerSheets(answer, say, ruleSet);
  return { language: ruleSet.texts.language, title: say(`squad-report-title-${audience}`), blocks };
}
