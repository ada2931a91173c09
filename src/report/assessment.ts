/** An assessment as a report: for the coach with the reasons, for the swimmer plain, kind and at most two pages. */
import { bodyPartWords, phrase, sideWords } from '../assess/phrases.ts';
import type { AssessmentAnswer, Drill, FullAnswer } from '../contract/answer.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { type Audience, cautionItems, stopBlocks, swimmerCautions } from './audience.ts';
import { type Block, heading, list, type Report, text } from './document.ts';
import { armsFigure, chainFigure, evidenceFigure, sessionFigure } from './figures.ts';

const percent = (share: number): string => `${Math.round(share * 100)} %`;

export function drillBlocks(drills: readonly Drill[], say: (key: string) => string): Block[] {
  return drills.flatMap((d, i) => [
    heading(`${i + 1}. ${d.name}`, 3),
    text(`${d.purpose} ${say('report-dose')}: ${d.dose}.`),
    list(d.steps, true),
    text(`${say('report-cue')}: ${d.cues.join('; ')}.`),
    text(`${say('report-check')}: ${d.selfCheck}`),
  ]);
}

function armsBlock(answer: FullAnswer, ruleSet: RuleSet): Block {
  const say = (key: string): string => phrase(ruleSet, key);
  const phases = Object.fromEntries(['catch', 'pull', 'push', 'arm'].map((p) => [p, say(`phase-${p}`)]));
  const words = {
    caption: say('report-arms-caption'),
    phases,
    left: say('report-left'),
    right: say('report-right'),
    none: say('report-no-number'),
  };
  return armsFigure(answer.efficiency, words);
}

function coachBlocks(answer: FullAnswer, remarks: string | undefined, ruleSet: RuleSet): Block[] {
  const say = (key: string): string => phrase(ruleSet, key);
  // one story on both sides is told once
  const told = answer.causes.filter((c, i, all) => all.findIndex((o) => o.code === c.code) === i);
  const causes = told.slice(0, 3).flatMap((c): Block[] => [
    heading(
      `${c.label}${sideWords(ruleSet, c.side)}: ${c.probabilityWord}, ${percent(c.probability)} (${percent(c.range.low)} - ${percent(c.range.high)})`,
      3,
    ),
    chainFigure(
      {
        drivers: c.drivenBy.map((d) => ruleSet.texts.causes[d.cause]?.label ?? d.cause),
        cause: c.label,
        signs: c.explains.map(
          (x) =>
            `${ruleSet.texts.observations[x.code]?.label ?? ruleSet.texts.findings[x.code]?.label ?? x.code}${sideWords(ruleSet, x.side)}`,
        ),
      },
      { caption: say('report-chain-caption') },
    ),
    evidenceFigure(c, { caption: say('report-evidence-caption') }),
  ]);
  const slots = Object.fromEntries(answer.session.blocks.map((b) => [b.slot, b.label]));
  return [
    ...(answer.restrictions.length > 0
      ? [
          heading(say('report-restrictions')),
          list(
            answer.restrictions.map(
              (r) => `${bodyPartWords(ruleSet, r.bodyPart)}${sideWords(ruleSet, r.side)}: ${r.because.text}`,
            ),
          ),
        ]
      : []),
    heading(say('report-causes')),
    ...(causes.length > 0 ? causes : [text(say('summary-no-cause'))]),
    heading(say('report-arms')),
    text(say('report-arms-note')),
    armsBlock(answer, ruleSet),
    heading(say('report-focus')),
    ...(answer.focus.length > 0
      ? [
          list(
            answer.focus.map(
              (f) =>
                `${f.label}${sideWords(ruleSet, f.side)}: ${f.because.map((b) => ruleSet.texts.principles[b]?.title ?? b).join('; ')}`,
            ),
            true,
          ),
        ]
      : [text(say('summary-no-focus'))]),
    ...(remarks === undefined ? [] : [heading(say('report-remarks')), text(remarks, 'note')]),
    ...(answer.drills.length > 0 ? [heading(say('report-drills')), ...drillBlocks(answer.drills, say)] : []),
    heading(say('report-session')),
    sessionFigure(answer.session, { caption: answer.session.note, slots }),
    list(
      answer.session.blocks.map(
        (b) => `${b.minutes} min, ${b.label}: ${b.items.map((i) => i.text).join(' ')}`,
      ),
    ),
    ...(answer.nextLooks.length > 0
      ? [
          heading(say('report-looks')),
          list(
            answer.nextLooks.map(
              (l) =>
                `${l.label}${sideWords(ruleSet, l.side)}, ${phrase(ruleSet, `view-${l.view}`)}. ${l.because}`,
            ),
          ),
        ]
      : []),
    heading(say('report-cautions')),
    list(cautionItems(answer.cautions)),
    ...(answer.messages.length > 0
      ? [heading(say('report-messages')), list(answer.messages.map((m) => m.text))]
      : []),
    text(`${say('report-rules')} ${answer.ruleSet.name} ${answer.ruleSet.version}, ${answer.decisionId}`),
  ];
}

function swimmerBlocks(answer: FullAnswer, remarks: string | undefined, ruleSet: RuleSet): Block[] {
  const say = (key: string): string => phrase(ruleSet, key);
  const work = answer.focus.filter((f) => ruleSet.causes.get(f.cause)?.timeBand !== 'clinician-first');
  const good = [...new Set(answer.strengths.map((s) => s.code))].slice(0, 5).map((code) => {
    const sides = answer.strengths.filter((s) => s.code === code);
    const [first] = sides as [(typeof sides)[number]];
    return `${first.label}${sideWords(ruleSet, sides.length === 2 ? 'both' : first.side)}`;
  });
  return [
    ...(answer.status === 'refer' ? [text(say('report-swimmer-refer'), 'stop')] : []),
    heading(say('report-good')),
    good.length > 0 ? list(good) : text(say('report-good-none')),
    heading(say('report-work')),
    ...(work.length > 0
      ? work.flatMap((f): Block[] => [
          heading(`${f.label}${sideWords(ruleSet, f.side)}`, 3),
          text(
            `${ruleSet.texts.causes[f.cause]?.costs ?? ''} ${ruleSet.texts.causes[f.cause]?.change ?? ''}`,
          ),
        ])
      : [text(say('report-work-none'))]),
    ...(remarks === undefined ? [] : [heading(say('report-remarks')), text(remarks, 'note')]),
    ...(answer.drills.length > 0
      ? [heading(say('report-how')), ...drillBlocks(answer.drills.slice(0, 2), say)]
      : []),
    ...stopBlocks(answer.cautions, ruleSet),
    text(say('report-honest'), 'note'),
  ];
}

/** @param remarks the coach's own words from the request; escaped when the report is given its form. */
export function assessmentReport(
  answer: AssessmentAnswer,
  audience: Audience,
  remarks: string | undefined,
  ruleSet: RuleSet,
): Report {
  const say = (key: string): string => phrase(ruleSet, key);
  const head: Block[] = [
    { kind: 'blank', label: say('report-name') },
    text(answer.summary, answer.status === 'stop' ? 'stop' : 'note'),
  ];
  const body =
    answer.status === 'stop'
      ? [
          list(
            audience === 'coach' ? cautionItems(answer.cautions) : swimmerCautions(answer.cautions, ruleSet),
          ),
        ]
      : audience === 'coach'
        ? coachBlocks(answer, remarks, ruleSet)
        : swimmerBlocks(answer, remarks, ruleSet);
  return {
    language: ruleSet.texts.language,
    title: say(`report-title-${audience}`),
    blocks:
      audience === 'swimmer' && answer.status !== 'stop' ? [head[0] as Block, ...body] : [...head, ...body],
  };
}
