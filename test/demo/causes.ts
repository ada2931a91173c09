/** The causes, likeliest first, each with its range and the lines that weigh most. */
import type { Cause, Finding, FullAnswer, TrailLine } from '../../src/contract/answer.ts';
import { bar, LEGEND } from './bar.ts';
import { bold, dim, heading, warn } from './paint.ts';
import { hang, percent, sideWord } from './text.ts';

const SHOWN = 4;
const WHY = 3;
/** Lines lighter than this are not worth a coach's time. */
const LEAST_DB = 0.5;

/** Two arms whose chances differ by less than this share a row. */
const TWIN = 0.05;

interface Row {
  readonly cause: Cause;
  readonly side: string;
  /** The weaker arm of a row for both. */
  readonly other?: Cause;
}

/** One cause on both arms with nearly the same chance is one row, told from the stronger arm. */
function rows(causes: readonly Cause[]): Row[] {
  const twin = (c: Cause): Cause | undefined =>
    causes.find(
      (o) =>
        o.code === c.code &&
        o.side !== c.side &&
        Math.abs(o.probability - c.probability) < TWIN &&
        o.rejectedByCoach === c.rejectedByCoach,
    );
  return causes.flatMap((cause): Row[] => {
    const other = twin(cause);
    if (other === undefined) return [{ cause, side: cause.side }];
    return causes.indexOf(cause) < causes.indexOf(other) ? [{ cause, side: 'both', other }] : [];
  });
}

function titleOf({ cause, side, other }: Row): string {
  const same = other === undefined || percent(other.probability) === percent(cause.probability);
  return (
    cause.label + (same ? sideWord(side) : ` (${cause.side}; ${other.side} ${percent(other.probability)})`)
  );
}

function lineText(line: TrailLine, findings: readonly Finding[], side: string): string {
  const finding =
    line.kind === 'finding'
      ? findings.find((f) => f.code === line.code && f.side === (line.side ?? 'body'))
      : undefined;
  const text = finding === undefined ? line.text : `${finding.label}: ${line.text}`;
  // in a row for both arms the side of the one arm would mislead
  return side === 'both' ? text.replace(/ \((left|right)\)/, '') : text;
}

function why({ cause, side }: Row, findings: readonly Finding[]): string[] {
  const lines = cause.trail
    .filter((line) => line.kind !== 'limit' && Math.abs(line.db) >= LEAST_DB)
    .sort((a, b) => Math.abs(b.db) - Math.abs(a.db))
    .slice(0, WHY);
  if (lines.length === 0)
    return [dim('     nothing seen weighs much: about as common as at this level in general')];
  return lines.flatMap((line) => {
    const db = `${line.db < 0 ? '−' : '+'}${Math.abs(line.db).toFixed(1)} dB`;
    return hang(`     ${db.padStart(8)}  `, lineText(line, findings, side)).map(dim);
  });
}

function causeLines(row: Row, findings: readonly Finding[]): string[] {
  const { probability, range, probabilityWord, rejectedByCoach } = row.cause;
  const numbers = `${percent(probability).padStart(5)}  ${probabilityWord}, ${Math.round(range.low * 100)} to ${percent(range.high)}`;
  return [
    ...hang('  ', titleOf(row)).map(bold),
    `     ${bar({ low: range.low, at: probability, high: range.high }, 30)} ${numbers}`,
    ...(rejectedByCoach === undefined
      ? []
      : hang('     ', `The coach does not share this: ${rejectedByCoach}`).map(warn)),
    ...why(row, findings),
  ];
}

export function causesSection({ causes, findings }: FullAnswer): string[] {
  const all = rows(causes);
  const rest = all.slice(SHOWN).map((row) => `${titleOf(row)} ${percent(row.cause.probability)}`);
  return [
    heading('CAUSES', 'with a 90 % range; the lines below each one weigh most, in decibans'),
    dim(`     ${LEGEND}`),
    ...(all.length === 0 ? ['  None has evidence of its own.'] : []),
    ...all.slice(0, SHOWN).flatMap((row) => causeLines(row, findings)),
    ...(rest.length === 0 ? [] : hang('  further: ', rest.join('; ')).map(dim)),
    '',
  ];
}
