/**
 * One flow, two runners. The stages are written once, as generators that ask for the rules of a stage and go on
 * with what fired. An assessment answers those questions with the rule engine; the many "what if" runs of the
 * next look answer them with the same compiled selection, without the engine's promises.
 */
import type { Slots } from '../engine/facts.ts';
import type { Fired, Stage } from '../engine/stage.ts';

export interface Ask {
  readonly stage: Stage<unknown>;
  readonly slots: Slots;
}
export type Flow<T> = Generator<Ask, T, Fired<unknown>[]>;

/** Asks which rules of a stage fire on the facts known so far. */
export function* fire<P>(stage: Stage<P>, slots: Slots): Generator<Ask, Fired<P>[], Fired<unknown>[]> {
  return (yield { stage: stage as Stage<unknown>, slots }) as Fired<P>[];
}

export async function runFlow<T>(flow: Flow<T>): Promise<T> {
  let step = flow.next();
  while (!step.done) step = flow.next(await step.value.stage.run(step.value.slots));
  return step.value;
}

/** @param watch sees every question with the facts as they are known when it is asked. */
export function runFlowNow<T>(flow: Flow<T>, watch?: (ask: Ask) => void): T {
  let step = flow.next();
  while (!step.done) {
    watch?.(step.value);
    step = flow.next(step.value.stage.select(step.value.slots));
  }
  return step.value;
}
