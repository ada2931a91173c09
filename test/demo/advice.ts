/** What to change first and why, the drills for it, and the session that holds them. */
import type { Drill, Focus, FullAnswer, Session } from '../../src/contract/answer.ts';
import { bold, dim, heading } from './paint.ts';
import { hang, percent, sideWord } from './text.ts';
import { reason, type Words } from './words.ts';

export function focusSection({ focus, causes }: FullAnswer, words: Words): string[] {
  if (focus.length === 0) return [heading('CHANGE FIRST'), '  Nothing.', ''];
  return [
    heading('CHANGE FIRST'),
    ...focus.flatMap((f, i) => {
      const word = causes.find((c) => c.code === f.cause)?.probabilityWord;
      const chance =
        f.probability === null ? '' : `, ${[word, percent(f.probability)].filter(Boolean).join(' ')}`;
      const why =
        f.because.length > 0
          ? f.because.map((code) => reason(code, words)).join('; ')
          : 'the most to gain: how likely it is, how much it costs and how soon it changes';
      return [
        ...hang(`  ${i + 1}  `, f.label + sideWord(f.side) + chance).map(bold),
        ...hang('     why: ', why),
      ];
    }),
    '',
  ];
}

/** What the drill does for the focus, or else for the cause it helps most. */
function helps(drill: Drill, focus: readonly Focus[]): string | undefined {
  return (drill.for.find((f) => focus.some((x) => x.cause === f.cause)) ?? drill.for[0])?.text;
}

function drillLines(drill: Drill, i: number, focus: readonly Focus[]): string[] {
  const [cue] = drill.cues;
  const because = helps(drill, focus);
  return [
    ...hang(`  ${i + 1}  `, `${drill.name}: ${drill.dose}`),
    ...(cue === undefined ? [] : hang('     ', `“${cue}”`).map(bold)),
    ...(because === undefined || because === '' ? [] : hang('     ', because).map(dim)),
  ];
}

/** How many drills were left out for what, and by name those that the coach refused. */
function leftOut({ excludedDrills }: FullAnswer): string[] {
  const refused = excludedDrills.filter((d) => d.reason === 'refused-by-coach').map((d) => d.name);
  const counts = new Map<string, number>();
  for (const { reason: r } of excludedDrills) counts.set(r, (counts.get(r) ?? 0) + 1);
  counts.delete('refused-by-coach');
  const parts = [
    ...(refused.length > 0 ? [`refused by the coach: ${refused.join(', ')}`] : []),
    ...[...counts].sort((a, b) => b[1] - a[1]).map(([r, n]) => `${r.replaceAll('-', ' ')}: ${n}`),
  ];
  return parts.length === 0 ? [] : hang('  left out, ', parts.join('; ')).map(dim);
}

export function drillsSection(answer: FullAnswer): string[] {
  const { drills, focus } = answer;
  return [
    heading('DRILLS'),
    ...(drills.length === 0 ? ['  None.'] : drills.flatMap((drill, i) => drillLines(drill, i, focus))),
    ...leftOut(answer),
    '',
  ];
}

/** A drill is named only, its dose stands above; the swimming that follows each drill is said once. */
function blockText({ items }: Session['blocks'][number], drills: readonly Drill[]): string {
  const transfer = items.some((item, i) => item.drill === undefined && items[i - 1]?.drill !== undefined);
  const names = items
    .filter((item, i) => item.drill !== undefined || items[i - 1]?.drill === undefined)
    .map((item) => drills.find((d) => d.code === item.drill)?.name ?? item.text);
  return names.join(' · ') + (transfer ? '; after each, swim with its cue' : '');
}

export function sessionSection({ session, drills }: FullAnswer): string[] {
  return [
    heading('SESSION', `${session.minutes} minutes`),
    ...session.blocks.flatMap((block) =>
      hang(`  ${String(block.minutes).padStart(3)} min  ${block.slot.padEnd(10)} `, blockText(block, drills)),
    ),
    ...hang('  ', session.note).map(dim),
    '',
  ];
}
