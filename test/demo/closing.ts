/** What to look at next, what to take care of, and what the service warns about. */
import type { AssessmentAnswer, Caution, FullAnswer } from '../../src/contract/answer.ts';
import { dim, heading, warn } from './paint.ts';
import { hang, sideWord } from './text.ts';
import { fromView, type Words } from './words.ts';

export function looksSection({ nextLooks }: FullAnswer, words: Words): string[] {
  if (nextLooks.length === 0) return [];
  return [
    heading('LOOK NEXT', 'bits: how much certainty the look is expected to bring'),
    ...nextLooks.flatMap((look) => {
      const where = `${look.label}${sideWord(look.side)}, ${fromView(look.view, words)}`;
      const change = look.wouldChangeAdvice ? ' It may change the advice.' : '';
      return [
        ...hang(`  ${look.bits.toFixed(2)} bits  `, where),
        ...hang(' '.repeat(13), look.because + change).map(dim),
      ];
    }),
    '',
  ];
}

const CLASS: Readonly<Record<Caution['class'], string>> = {
  'stop-now': 'stop now',
  refer: 'refer',
  never: 'never',
  condition: 'take care',
  modify: 'adapt',
};

const firstSentence = (text: string): string => text.split(/(?<=\.) /)[0] ?? text;

/** What stops or refers is said in full, what must never be done is named; the rest is one sentence. */
function cautionText({ class: kind, label, text, because }: Caution): string {
  if (kind === 'stop-now' || kind === 'refer') return text;
  return kind === 'never' ? `${label}. ${firstSentence(text)}` : because.map((b) => b.text).join(' ');
}

export function cautionsSection({ cautions }: AssessmentAnswer): string[] {
  if (cautions.length === 0) return [];
  return [
    heading('CAUTIONS'),
    ...cautions.flatMap((c) => {
      const lines = hang(`  ${CLASS[c.class].padEnd(10)} `, cautionText(c));
      return c.class === 'stop-now' || c.class === 'refer' ? lines.map(warn) : lines;
    }),
    '',
  ];
}

export function warningsSection({ messages }: AssessmentAnswer): string[] {
  const warnings = messages.filter((m) => m.severity === 'warning');
  if (warnings.length === 0) return [];
  return [heading('WARNINGS'), ...warnings.flatMap((m) => hang('  ! ', m.text)).map(warn), ''];
}
