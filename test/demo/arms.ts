/** Both arms side by side, phase by phase: how much works, or why there is no number. */
import type { Efficiency, PhaseScore } from '../../src/contract/answer.ts';
import { bar } from './bar.ts';
import { dim, heading } from './paint.ts';
import { hang, WIDTH, wrap } from './text.ts';

const ROWS = ['catch', 'pull', 'push', 'arm'] as const;
const LABEL = 10;
const COLUMN = (WIDTH - LABEL) / 2;
const SIDES = ['left', 'right'] as const;

function cell(score: PhaseScore): string[] {
  if (score.status === 'not-scorable') return wrap(score.because.map((b) => b.text).join(' '), COLUMN - 3);
  const { low, estimate, high } = score;
  const range = { low: low / 100, at: estimate / 100, high: high / 100 };
  return [`${bar(range, 20)} ${String(estimate).padStart(3)} %  (${low} to ${high})`];
}

const reasonOf = (score: PhaseScore): string | undefined =>
  score.status === 'not-scorable' ? score.because.map((b) => b.text).join(' ') : undefined;

/** A reason that holds for the whole arm is said once. */
function cells(efficiency: Efficiency, side: (typeof SIDES)[number], name: (typeof ROWS)[number]): string[] {
  const reasons = new Set(ROWS.map((r) => reasonOf(efficiency[side][r])));
  return reasons.size === 1 && !reasons.has(undefined) && name !== ROWS[0]
    ? []
    : cell(efficiency[side][name]);
}

function row(name: (typeof ROWS)[number], efficiency: Efficiency): string[] {
  const { left, right } = efficiency;
  const label = `  ${name === 'arm' ? 'whole arm' : name}`.padEnd(LABEL + 2);
  const reason = reasonOf(left[name]);
  if (reason !== undefined && reason === reasonOf(right[name])) return hang(label, `no number: ${reason}`);
  const [a, b] = [cells(efficiency, 'left', name), cells(efficiency, 'right', name)];
  return Array.from({ length: Math.max(a.length, b.length) }, (_, i) =>
    ((i === 0 ? label : ' '.repeat(label.length)) + (a[i] ?? '').padEnd(COLUMN) + (b[i] ?? '')).trimEnd(),
  );
}

/** The fault that takes most from any one phase of an arm. */
function mostLost(efficiency: Efficiency, side: (typeof SIDES)[number]): string | undefined {
  const losses = (['catch', 'pull', 'push'] as const).flatMap((phase) => {
    const score = efficiency[side][phase];
    return score.status === 'scored' ? score.lost.map((l) => ({ phase, ...l })) : [];
  });
  const worst = losses.sort((a, b) => b.share - a.share)[0];
  return worst && `${Math.round(worst.share * 100)} % of the ${worst.phase}: ${worst.text}`;
}

function losses(efficiency: Efficiency): string[] {
  const [left, right] = SIDES.map((side) => mostLost(efficiency, side));
  const line = (who: string, text: string | undefined): string[] =>
    text === undefined ? [] : hang(`  most lost, ${who}: `, text).map(dim);
  return left === right ? line('both', left) : [...line('left', left), ...line('right', right)];
}

function gap({ difference }: Efficiency): string[] {
  if (difference.status !== 'scored') return [];
  const signed = (n: number): string => (n < 0 ? `−${-n}` : `+${n}`);
  const { estimate, low, high } = difference;
  if (estimate === 0) return ['  no difference between the arms'];
  const small = Math.abs(estimate) < 10 ? ': a gap under 10 is no difference' : '';
  return [`  right minus left: ${signed(estimate)} (${signed(low)} to ${signed(high)})${small}`];
}

export function armsSection(efficiency: Efficiency): string[] {
  return [
    heading('ARMS', "at most this much of the swimmer's own best stroke works, by eye; not a measurement"),
    dim(`${' '.repeat(LABEL + 2)}${'left'.padEnd(COLUMN)}right`),
    ...ROWS.flatMap((name) => row(name, efficiency)),
    ...gap(efficiency),
    ...losses(efficiency),
    '',
  ];
}
