/** Two outcomes of one record, compared in the terms of a coach. */
import type { NoticedCause, NoticedOutcome } from './outcome.ts';

export const KINDS = ['status', 'causes', 'focus', 'drills', 'efficiency', 'cautions'] as const;
export type Kind = (typeof KINDS)[number];

export interface NoticedChange {
  readonly kind: Kind;
  /** The cause, arm and phase, or nothing where the change is of the whole answer. */
  readonly about: string | null;
  readonly text: string;
}

/** A cause whose probability moves by less, within the same word, is not told. */
const TOLD_FROM = 0.02;

const percent = (p: number): string => `${Math.round(p * 100)} %`;
const said = (c: NoticedCause): string => `${percent(c.probability)}, ${c.word}`;

function causeChange(
  key: string,
  before: NoticedCause | undefined,
  after: NoticedCause | undefined,
): string | undefined {
  const { label } = (after ?? before) as NoticedCause;
  const side = key.includes('@') ? ` (${key.split('@')[1]})` : '';
  if (before === undefined) return `"${label}"${side} is listed now: ${said(after as NoticedCause)}`;
  if (after === undefined) return `"${label}"${side} is no longer listed; it was ${said(before)}`;
  const moved = Math.abs(after.probability - before.probability);
  if (before.word === after.word && moved < TOLD_FROM) return undefined;
  return `"${label}"${side}: ${said(before)}, now ${said(after)}`;
}

const listed = (codes: readonly string[]): string => (codes.length === 0 ? 'none' : codes.join(', '));

function setChange(
  kind: Kind,
  before: readonly string[],
  after: readonly string[],
  what: string,
): NoticedChange[] {
  const gained = after.filter((c) => !before.includes(c));
  const lost = before.filter((c) => !after.includes(c));
  if (gained.length === 0 && lost.length === 0) return [];
  const parts = [
    ...(gained.length === 0 ? [] : [`${what} new: ${gained.join(', ')}`]),
    ...(lost.length === 0 ? [] : [`${what} gone: ${lost.join(', ')}`]),
  ];
  return [{ kind, about: null, text: parts.join('; ') }];
}

export function compareOutcomes(before: NoticedOutcome, after: NoticedOutcome): NoticedChange[] {
  const status: NoticedChange[] =
    before.status === after.status
      ? []
      : [{ kind: 'status', about: null, text: `the status was "${before.status}" and is "${after.status}"` }];
  const causes = [...new Set([...before.causes.keys(), ...after.causes.keys()])].flatMap(
    (key): NoticedChange[] => {
      const text = causeChange(key, before.causes.get(key), after.causes.get(key));
      return text === undefined ? [] : [{ kind: 'causes', about: key, text }];
    },
  );
  const focus: NoticedChange[] =
    before.focus.join() === after.focus.join()
      ? []
      : [
          {
            kind: 'focus',
            about: null,
            text: `the focus was ${listed(before.focus)} and is ${listed(after.focus)}`,
          },
        ];
  const told = (n: number | null | undefined): string => (n == null ? 'no number' : `${n} %`);
  const efficiency = [...new Set([...before.efficiency.keys(), ...after.efficiency.keys()])].flatMap(
    (key): NoticedChange[] => {
      const [then, now] = [before.efficiency.get(key), after.efficiency.get(key)];
      if (then === now) return [];
      return [{ kind: 'efficiency', about: key, text: `${key}: ${told(then)}, now ${told(now)}` }];
    },
  );
  return [
    ...status,
    ...causes,
    ...focus,
    ...setChange('drills', before.drills, after.drills, 'drills'),
    ...efficiency,
    ...setChange('cautions', before.cautions, after.cautions, 'cautions'),
  ];
}
