/**
 * The arrays that the loop works in, one set a network, filled anew for each run: a run never waits, so no two of
 * them meet. Making them anew would cost as much as a third of the loop.
 */
import { remembered } from '../remembered.ts';
import type { Tables } from './tables.ts';

export interface Workspace {
  /** Per pair: likelihood ratio after explaining away, the share of it that counts, and what is counted. */
  readonly ratio: Float64Array;
  readonly factor: Float64Array;
  readonly nextFactor: Float64Array;
  readonly counted: Float64Array;
  /** Per pair: belief in the parent without this child. */
  readonly without: Float64Array;
  /** Per pair: chance that the child is not there although all its other causes are as likely as they are. */
  readonly noneElse: Float64Array;
  /** Per node: chance from its drivers alone, ratio of its fixed lines and of its own children, odds of all together. */
  readonly base: Float64Array;
  readonly fixed: Float64Array;
  readonly passedUp: Float64Array;
  readonly odds: Float64Array;
  /** Per child: ratio of the report on it. */
  readonly report: Float64Array;
  /** Marks of children with a report, and of nodes that the record can move. */
  readonly heard: Uint8Array;
  readonly live: Uint8Array;
}

export const workspaceOf = remembered((t: Tables): Workspace => {
  const perPair = (): Float64Array => new Float64Array(t.node.length);
  const perNode = (): Float64Array => new Float64Array(t.rest.length);
  return {
    ratio: perPair(),
    factor: perPair(),
    nextFactor: perPair(),
    counted: perPair(),
    without: perPair(),
    noneElse: perPair(),
    base: perNode(),
    fixed: perNode(),
    passedUp: perNode(),
    odds: perNode(),
    report: new Float64Array(t.leak.length),
    heard: new Uint8Array(t.leak.length),
    live: new Uint8Array(t.rest.length),
  };
});

/** Every line says nothing, every belief is the prior with its fixed lines. */
export function clear(
  { ratio, factor, counted, without, noneElse, base, passedUp, odds, fixed }: Workspace,
  t: Tables,
): void {
  for (const array of [ratio, factor, counted, noneElse, passedUp]) array.fill(1);
  without.set(t.restOfParent);
  base.set(t.rest);
  for (let n = 0; n < odds.length; n++) odds[n] = (t.restOdds[n] as number) * (fixed[n] as number);
}
