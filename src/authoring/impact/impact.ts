/** What a draft changes for whom, counted over all records and told record by record. */
import { compareOutcomes, KINDS, type Kind, type NoticedChange } from './compare.ts';
import type { NoticedOutcome } from './outcome.ts';

/** One record under the base and under the draft; undefined where that rule set cannot read it. */
export interface Pair {
  /** Id of the case, or place of the record in the request. */
  readonly record: string;
  readonly title: string;
  readonly before: NoticedOutcome | undefined;
  readonly after: NoticedOutcome | undefined;
}

export interface RecordImpact {
  readonly record: string;
  readonly title: string;
  readonly changes: readonly NoticedChange[];
}

export interface CauseTally {
  readonly cause: string;
  readonly label: string;
  /** Records in which it became more or less probable, came onto the list or left it. */
  readonly up: number;
  readonly down: number;
  readonly listed: number;
  readonly gone: number;
}

export interface Impact {
  readonly records: number;
  readonly changed: number;
  /** Records that one of the two rule sets cannot read. */
  readonly notComparable: readonly string[];
  /** Records with a change of each kind. */
  readonly counts: { readonly [K in Kind]: number };
  readonly causes: readonly CauseTally[];
  readonly changes: readonly RecordImpact[];
  /** Changed records that are counted but not told. */
  readonly notTold: number;
}

function tally(pairs: readonly Pair[]): CauseTally[] {
  const tallies = new Map<
    string,
    { cause: string; label: string; up: number; down: number; listed: number; gone: number }
  >();
  for (const { before, after } of pairs) {
    if (before === undefined || after === undefined) continue;
    for (const key of new Set([...before.causes.keys(), ...after.causes.keys()])) {
      const [then, now] = [before.causes.get(key), after.causes.get(key)];
      const cause = key.split('@')[0] as string;
      const label = (now ?? then)?.label as string;
      const own = tallies.get(cause) ?? { cause, label, up: 0, down: 0, listed: 0, gone: 0 };
      tallies.set(cause, own);
      if (then === undefined) own.listed++;
      else if (now === undefined) own.gone++;
      else if (now.probability > then.probability + 1e-9) own.up++;
      else if (now.probability < then.probability - 1e-9) own.down++;
    }
  }
  const size = (t: CauseTally): number => t.up + t.down + t.listed + t.gone;
  return [...tallies.values()]
    .filter((t) => size(t) > 0)
    .sort((a, b) => size(b) - size(a) || (a.cause < b.cause ? -1 : 1));
}

/** @param most changed records that are told one by one; the rest is counted. */
export function impactOf(pairs: readonly Pair[], most: number): Impact {
  const compared = pairs.flatMap(({ record, title, before, after }): RecordImpact[] =>
    before === undefined || after === undefined
      ? []
      : [{ record, title, changes: compareOutcomes(before, after) }],
  );
  const changed = compared.filter((r) => r.changes.length > 0);
  const counts = Object.fromEntries(
    KINDS.map((kind) => [kind, changed.filter((r) => r.changes.some((c) => c.kind === kind)).length]),
  ) as { [K in Kind]: number };
  // what a coach acts on comes first
  const weight = (r: RecordImpact): number =>
    Math.min(
      ...r.changes.map((c) =>
        ['status', 'focus', 'drills', 'cautions', 'causes', 'efficiency'].indexOf(c.kind),
      ),
    );
  const told = changed
    .map((r, i) => ({ r, i, w: weight(r) }))
    .sort((a, b) => a.w - b.w || a.i - b.i)
    .map(({ r }) => r)
    .slice(0, most);
  return {
    records: pairs.length,
    changed: changed.length,
    notComparable: pairs.filter((p) => p.before === undefined || p.after === undefined).map((p) => p.record),
    counts,
    causes: tally(pairs),
    changes: told,
    notTold: changed.length - told.length,
  };
}
