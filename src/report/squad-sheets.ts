/** One sheet for each swimmer of a squad, so that nobody reads the notes of somebody else. */
import type { Apart, Group, GroupMember, SquadAnswer } from '../contract/squad.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { swimmerCautions } from './audience.ts';
import { type Block, heading, list, PAGE, text } from './document.ts';
import { notesOf, partsOf, type Say, stopsOf } from './squad-words.ts';

/** Only what this swimmer is asked to do, in the order of the session. */
function ownDrills(member: GroupMember, group: Group): { name: string; dose: string; cue: string }[] {
  const done = group.drills
    .filter((d) => !member.swaps.some((s) => s.drill === d.code))
    .map((d) => ({ name: d.name, dose: d.dose, cue: d.cues[0] ?? '' }));
  return [...done, ...member.swaps.flatMap((s) => (s.instead === null ? [] : [s.instead]))];
}

function mindBlocks(ref: string, { cautions }: SquadAnswer, say: Say, ruleSet: RuleSet): Block[] {
  const own = cautions.filter((c) => c.members.includes(ref));
  const mind = swimmerCautions(own, ruleSet);
  return mind.length === 0 ? [] : [heading(say('report-stop-for'), 3), list(mind)];
}

function sheetOf(
  member: GroupMember,
  group: Group,
  answer: SquadAnswer,
  say: Say,
  ruleSet: RuleSet,
): Block[] {
  const drills = ownDrills(member, group);
  const [side] = notesOf(member, 'side');
  const work =
    member.place === 'no-focus'
      ? [text(say('report-work-none'))]
      : member.place === 'outside' || group.focus === null
        ? []
        : [
            text(
              `${side ?? group.focus.label}. ${group.focus.costs} ${ruleSet.texts.causes[group.focus.cause]?.change ?? ''}`,
            ),
          ];
  const other = member.notes
    .filter((n) => n.kind === 'focus')
    .map((n) => ruleSet.texts.causes[n.code]?.label ?? n.code);
  const remarks = notesOf(member, 'coach');
  return [
    heading(`${member.ref}, ${say('squad-report-lane').toLowerCase()} ${group.lane}`),
    { kind: 'blank', label: say('report-name') },
    heading(say('report-work'), 3),
    ...work,
    ...(other.length === 0 ? [] : [list(other)]),
    ...remarks.map((r) => text(`${say('report-remarks')}: ${r}`, 'note')),
    ...(drills.length === 0
      ? []
      : [
          heading(say('report-how'), 3),
          list(
            drills.map((d) => `${d.name}: ${d.dose}. ${say('report-cue')}: ${d.cue}.`),
            true,
          ),
        ]),
    ...mindBlocks(member.ref, answer, say, ruleSet),
    text(say('report-honest'), 'note'),
  ];
}

function apartSheet(a: Apart, answer: SquadAnswer, say: Say, ruleSet: RuleSet): Block[] {
  const drills = a.drills.map((d) => `${d.name}: ${d.dose}. ${say('report-cue')}: ${d.cues[0] ?? ''}.`);
  return [
    heading(a.ref),
    { kind: 'blank', label: say('report-name') },
    ...(a.status === 'stop'
      ? [
          text(
            [say('squad-report-not-today'), ...swimmerCautions(stopsOf(a, answer.cautions), ruleSet)].join(
              ' ',
            ),
            'stop',
          ),
        ]
      : [
          text(say('report-swimmer-refer'), 'stop'),
          text(say('squad-report-nothing-that-loads', { parts: partsOf(a, ruleSet) })),
          ...(drills.length === 0 ? [] : [heading(say('report-how'), 3), list(drills, true)]),
          ...mindBlocks(a.ref, answer, say, ruleSet),
        ]),
  ];
}

export function swimmerSheets(answer: SquadAnswer, say: Say, ruleSet: RuleSet): Block[] {
  const sheets = [
    ...answer.groups.flatMap((group) =>
      group.members.map((member) => sheetOf(member, group, answer, say, ruleSet)),
    ),
    ...answer.apart.map((a) => apartSheet(a, answer, say, ruleSet)),
  ];
  return sheets.flatMap((sheet, i) => (i === 0 ? sheet : [PAGE, ...sheet]));
}
